package grout

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

func shade(t *testing.T, id string, c colormath.Lab) Shade {
	t.Helper()
	s, err := New(id, c)
	require.NoError(t, err)
	return s
}

// Oracle: kubelka_munk_mix.csv, greys in three shares; .02 of L*, the table's
// rounding. Plain averaging of light stands beside it there too.
func TestBlendAgainstTheTable(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", "kubelka_munk_mix.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 6)
	for _, r := range rows[1:] {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		b := Blend{A: shade(t, "a", colormath.Lab{L: num(0)}), B: shade(t, "b", colormath.Lab{L: num(1)})}
		m := b.At(num(2))
		assert.InDelta(t, num(8), m.Lab.L, .02)
		assert.InDelta(t, num(9), m.PlainL, .02)
		assert.InDelta(t, 0, m.Lab.Chroma(), 1e-6, "greys make a grey")
		back, ok := b.For(m.Lab.L)
		assert.True(t, ok)
		assert.InDelta(t, num(2), back.Share, 1e-6, "there and back")
	}
}

// The ends are the two powders; beyond them there is nothing; which of the two is
// named first does not matter.
func TestBlendEnds(t *testing.T) {
	b := Blend{A: shade(t, "a", colormath.Lab{L: 85, A: 1, B: 6}), B: shade(t, "b", colormath.Lab{L: 25})}
	assert.InDelta(t, 0, colormath.DeltaE76(b.A.Lab, b.At(0).Lab), 1e-9)
	assert.InDelta(t, 0, colormath.DeltaE76(b.B.Lab, b.At(1).Lab), 1e-9)
	_, ok := b.For(95)
	assert.False(t, ok)
	_, ok = b.For(10)
	assert.False(t, ok)
	turned := Blend{A: b.B, B: b.A}
	assert.InDelta(t, b.At(.3).Lab.L, turned.At(.7).Lab.L, 1e-9)
}

// A dried sample lighter than the prediction makes the dark powder weaker: the
// sample itself is met, and everything between the ends turns lighter.
func TestBlendCalibrated(t *testing.T) {
	b := Blend{A: shade(t, "a", colormath.Lab{L: 85}), B: shade(t, "b", colormath.Lab{L: 25})}
	plain := b.At(1. / 3)
	c, ok := b.Calibrate(1./3, plain.Lab.L+6)
	require.True(t, ok)
	assert.Less(t, c.Strength, 1.0)
	assert.InDelta(t, plain.Lab.L+6, c.At(1./3).Lab.L, 1e-6)
	assert.Greater(t, c.At(.6).Lab.L, b.At(.6).Lab.L)
	assert.Equal(t, c.At(.6).Lab.L, c.At(.6).PlainL, "nothing is left in doubt by the model")
	_, ok = b.Calibrate(1./3, 95)
	assert.False(t, ok)
}

func TestParseParts(t *testing.T) {
	for in, want := range map[string]float64{"2:1": 1. / 3, "1:1": .5, "1.5 : 0.5": .25, "1:0": 0, "0:3": 1} {
		got, err := ParseParts(in)
		require.NoError(t, err, in)
		assert.InDelta(t, want, got, 1e-12, in)
	}
	for _, bad := range []string{"", "2", "2:1:1", "-1:2", "0:0", "a:b", "1:inf", "nan:1"} {
		_, err := ParseParts(bad)
		assert.Error(t, err, bad)
	}
}

func TestNamed(t *testing.T) {
	own := []Shade{shade(t, "mid-true", colormath.Lab{L: 58}), shade(t, "sand", colormath.Lab{L: 75, B: 12})}
	s, err := Named("mid-true", own)
	require.NoError(t, err)
	assert.Equal(t, 58.0, s.Lab.L, "one's own comes first")
	s, err = Named("near-black", own)
	require.NoError(t, err)
	assert.InDelta(t, 25.26, s.Lab.L, .01)
	s, err = Named("#A1A09C", nil)
	require.NoError(t, err)
	assert.Equal(t, "a1a09c", s.ID)
	_, err = Named("mid-tru", own)
	assert.ErrorContains(t, err, "sand")
}

// What is written is read back, by a CSV reader and as shades; no "-0.00".
func TestMeasuredFileReadsBack(t *testing.T) {
	var b bytes.Buffer
	in := []Measured{{shade(t, "chip-1", colormath.Lab{L: 61.234, A: -.001, B: 4.2}), colormath.Lab{L: 1.5, A: .8, B: .9}}}
	require.NoError(t, WriteMeasured(&b, in))
	assert.Equal(t, "id,L,a,b,L_doubt,a_doubt,b_doubt\r\nchip-1,61.23,0.00,4.20,1.50,0.80,0.90\r\n", b.String())
	path := filepath.Join(t.TempDir(), "own.csv")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	got, err := Choose(path)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, "mid", got[0].Depth)
	assert.InDelta(t, 61.23, got[0].Lab.L, 1e-12)
}
