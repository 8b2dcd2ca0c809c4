package icc

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// row is one line of the reference file: 8-bit codes of a space, linear sRGB
// by arithmetic from the standards, and what littleCMS gives in 8 bits.
type row struct {
	space  string
	code   [3]float64
	linear [3]float64
	lcms   [3]float64
}

func reference(t *testing.T) (out []row) {
	t.Helper()
	f, err := os.Open("../../testdata/reference/icc_expected_srgb.csv")
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, l := range lines[1:] {
		r := row{space: l[0]}
		for i := range 9 {
			v, err := strconv.ParseFloat(l[1+i], 64)
			require.NoError(t, err)
			[3]*[3]float64{&r.code, &r.linear, &r.lcms}[i/3][i%3] = v
		}
		out = append(out, r)
	}
	require.Greater(t, len(out), 10)
	return out
}

// Oracle: reference values computed from the standards, and littleCMS. 2e-3
// in linear light is what 16-bit numbers inside a profile allow; one code is
// the rounding of two different programs.
func TestProfilesAgreeWithReference(t *testing.T) {
	byFile := map[string][]*Profile{
		"DisplayP3":    {parse(t, p3v2()), parse(t, p3v4())},
		"AdobeRGB1998": {parse(t, adobeRGB()), AdobeRGB()},
	}
	points, err := CodePoints(12, 13)
	require.NoError(t, err)
	byFile["DisplayP3"] = append(byFile["DisplayP3"], points)
	used := 0
	for _, r := range reference(t) {
		for i, p := range byFile[r.space] {
			got := p.Linear(r.code[0]/255, r.code[1]/255, r.code[2]/255)
			for c, v := range [3]float64{got.R, got.G, got.B} {
				assert.InDelta(t, r.linear[c], v, 2e-3, "%s %d %v channel %d", r.space, i, r.code, c)
				assert.InDelta(t, r.lcms[c], float64(colormath.Encode8(float32(v))), 1, "%s %d %v", r.space, i, r.code)
			}
			used++
		}
	}
	assert.Greater(t, used, 20)
}

func TestNames(t *testing.T) {
	assert.Equal(t, "Display P3", parse(t, p3v2()).Title())
	assert.Equal(t, "Display P3", parse(t, p3v4()).Title())
	assert.Equal(t, "sRGB", (*Profile)(nil).Title())
	p := parse(t, rgbPara("a\x1b[31m\u202eb", p3Colorants))
	assert.Equal(t, "a[31mb", p.Name, "nothing that a terminal would obey")
}

// A profile that says sRGB, in either version, counts as sRGB, so that 8-bit
// codes stay what they are; its neighbours do not.
func TestWhatCountsAsSRGB(t *testing.T) {
	assert.True(t, (*Profile)(nil).SRGB())
	assert.True(t, parse(t, rgbPara("sRGB", srgbColorants)).SRGB())
	table := srgbTable(1024)
	es := append(colorants(srgbColorants), curv("rTRC", table...), curv("gTRC", table...), curv("bTRC", table...))
	assert.True(t, parse(t, build(2, "mntr", "RGB ", es...)).SRGB())
	assert.False(t, parse(t, p3v4()).SRGB())
	p, err := Gamma(2.2)
	require.NoError(t, err)
	assert.False(t, p.SRGB(), "2.2 is four codes off in the dark")
	p, err = CodePoints(1, 13)
	require.NoError(t, err)
	assert.True(t, p.SRGB())
}

// Oracle: arithmetic by hand on each form of tone curve.
func TestCurves(t *testing.T) {
	for _, c := range []struct {
		name    string
		e       element
		x, want float64
	}{
		{"no entry is linear", curv("x"), 0.3, 0.3},
		{"one entry is a power", curv("x", 0x0200), 0.5, 0.25},
		{"two entries are a line", curv("x", 0, 32768), 0.5, 16384.0 / 65535},
		{"table, between entries", curv("x", 0, 10000, 65535), 0.75, (10000.0 + 65535) / 2 / 65535},
		{"type 0", para("x", 0, 2), 0.5, 0.25},
		{"type 1 above", para("x", 1, 2, 2, -0.5), 0.5, 0.25},
		{"type 1 below", para("x", 1, 2, 2, -0.5), 0.2, 0},
		{"type 2 above", para("x", 2, 2, 2, -0.5, 0.125), 0.5, 0.375},
		{"type 2 below", para("x", 2, 2, 2, -0.5, 0.125), 0.2, 0.125},
		{"type 3 below", para("x", 3, 2, 1, 0, 0.5, 0.25), 0.125, 0.0625},
		{"type 3 above", para("x", 3, 2, 1, 0, 0.5, 0.25), 0.5, 0.25},
		{"type 4 above", para("x", 4, 2, 1, 0, 0.5, 0.25, 0.125, 0.0625), 0.5, 0.375},
		{"type 4 below", para("x", 4, 2, 1, 0, 0.5, 0.25, 0.125, 0.0625), 0.125, 0.125},
		{"clamped", para("x", 0, 2), 1.5, 1},
	} {
		got, err := readCurve(c.e.data)
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.want, got.at(c.x), 1e-6, c.name)
	}
}

// A grey profile keeps the three channels equal and applies its own curve.
func TestGrey(t *testing.T) {
	p := parse(t, build(2, "mntr", "GRAY", desc("Grey gamma 2.2"), curv("kTRC", 0x0233)))
	assert.True(t, p.Grey)
	v := p.Linear(0.5, 0.5, 0.5)
	assert.InDelta(t, math.Pow(0.5, 563.0/256), v.R, 1e-9)
	assert.Equal(t, v.R, v.G)
	assert.Equal(t, v.G, v.B)
}

// Curves and Matrix are Linear taken apart: together they give the same.
func TestTablesAgreeWithLinear(t *testing.T) {
	for _, p := range []*Profile{nil, parse(t, p3v4()), AdobeRGB()} {
		curves, m := p.Curves(255), p.Matrix()
		for _, code := range [][3]int{{0, 0, 0}, {255, 255, 255}, {200, 180, 160}, {3, 250, 17}} {
			want := p.Linear(float64(code[0])/255, float64(code[1])/255, float64(code[2])/255)
			var got [3]float64
			for i := range 3 {
				for c := range 3 {
					got[i] += float64(m[3*i+c] * curves[c][code[c]])
				}
			}
			// float32 against float64: seven digits of numbers near 1.
			assert.InDelta(t, want.R, got[0], 1e-6)
			assert.InDelta(t, want.G, got[1], 1e-6)
			assert.InDelta(t, want.B, got[2], 1e-6)
		}
	}
}

// Primaries of BT.2020 with a linear curve: white stays white, and the green
// primary lies outside sRGB with a negative red (hand check of the sign).
func TestCodePoints(t *testing.T) {
	p, err := CodePoints(9, 8)
	require.NoError(t, err)
	w := p.Linear(1, 1, 1)
	assert.InDeltaSlice(t, []float64{1, 1, 1}, []float64{w.R, w.G, w.B}, 1e-12)
	assert.Less(t, p.Linear(0, 1, 0).R, -0.5)
	_, err = CodePoints(9, 16)
	assertReason(t, HDR, err)
	_, err = CodePoints(77, 13)
	assertReason(t, Space, err)
}

func assertReason(t *testing.T, want Reason, err error) {
	t.Helper()
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, want, e.Reason, e.Text)
}
