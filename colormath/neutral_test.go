package colormath

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Oracle: munsell_neutral.csv (ASTM D1535 quintic; four decimals of Y in
// percent, so 1e-4, and of L*).
func TestMunsellValues(t *testing.T) {
	for _, r := range reference(t, "munsell_neutral.csv", 20) {
		v := r.num(t, "munsell_value")
		assert.InDelta(t, r.num(t, "Y_percent_ASTM_D1535"), 100*MunsellY(v), 1e-4, "value %v", v)
		c := MunsellNeutral(v)
		labsClose(t, Lab{L: r.num(t, "L_star")}, c, 1e-4, v)
		assert.EqualValues(t, r.num(t, "sRGB_8bit_grey"), Encode8(float32(c.LinearRGB().G)))
		// The 1943 scale refers to magnesium oxide of reflectance .975; the
		// rounding of the two sets of coefficients leaves 4 in 100,000.
		assert.InEpsilon(t, r.num(t, "Y_percent_re_MgO_Newhall1943")*0.975, 100*MunsellY(v), 1e-4)
	}
	assert.InDelta(t, 100, 100*MunsellY(10), 5e-4, "value 10 is the perfect white")
	assert.Zero(t, MunsellY(0))
}

// Oracle: neutral_palette.csv, nine greys whose tint was solved elsewhere so
// that the tinted one lies 4.00 from the true one; its L* come from Munsell
// values and its codes must be what sRGB can show.
func TestNeutralPalette(t *testing.T) {
	rows := reference(t, "neutral_palette.csv", 9)
	truth := map[string]Lab{}
	for _, r := range rows {
		if r["cast"] == "true" {
			truth[r["depth"]] = r.lab(t, "L_D50", "a_D50", "b_D50")
		}
	}
	require.Len(t, truth, 3)
	for _, r := range rows {
		c := r.lab(t, "L_D50", "a_D50", "b_D50")
		if r["cast"] != "true" {
			assert.InDelta(t, 4, DeltaE2000(truth[r["depth"]], c), 0.01, r["id"])
		}
		assert.InDelta(t, MunsellNeutral(r.num(t, "munsell_value")).L, c.L, 6e-4, r["id"])
		assert.InDelta(t, r.num(t, "Y_percent"), LRV(c), 5e-3, r["id"])
		assert.True(t, c.LinearRGB().InGamut(0), r["id"])
		assert.Equal(t, strings.ToLower(r["sRGB_hex"]), c.LinearRGB().Hex(), r["id"])
	}
}

// Oracle: the maker's published Lab of a 24-patch chart. Its six greys before
// 2014 carry the Munsell values of their names; real paint keeps to within 1.5
// of the perfect grey of that value (N9.5 is the yellowish one).
func TestChartGreysAreNearMunsellNeutrals(t *testing.T) {
	rows := reference(t, "chart24_lab.csv", 24)
	for i, v := range []float64{9.5, 8, 6.5, 5, 3.5, 2} {
		c := rows[18+i].lab(t, "L_D50_before2014", "a_D50_before2014", "b_D50_before2014")
		assert.InDelta(t, MunsellNeutral(v).L, c.L, 1.5, "N%v", v)
		assert.Less(t, c.Chroma(), 1.5, "N%v", v)
	}
}
