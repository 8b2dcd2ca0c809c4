package light

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// By hand, white paper: a bed of L* 94 instead of 93 reflects .8527/.8297 as much,
// so the light is taken that much lower and the tiles that much lighter, 2.8 %, all
// channels alike; what a* and b* do leaves the luminance. The haze takes nothing off
// that on so light a bed.
func TestDoubtOfWhitePaper(t *testing.T) {
	d := Doubt(&colormath.Lab{L: 93})
	require.Len(t, d, 3)
	want := colormath.Lab{L: 94}.Luminance() / colormath.Lab{L: 93}.Luminance()
	assert.InDelta(t, .8527/.8297, want, .0002)
	for _, v := range []float64{d[0][0].R, d[0][0].G, d[0][0].B} {
		assert.InDelta(t, want, v, 5e-4)
	}
	assert.Less(t, d[0][1].G, 1.0, "the other way")
	for _, i := range []int{1, 2} {
		white := colormath.Lab{L: 93}.LinearRGB()
		for _, g := range d[i] {
			seen := colormath.LinearRGB{R: g.R * white.R, G: g.G * white.G, B: g.B * white.B}
			assert.InDelta(t, 93, seen.Lab().L, .01)
			assert.InDelta(t, 1, seen.Lab().Chroma(), .02, "one step of a* or b*")
		}
	}
}

// A black bed tells the level of the light less, so a step of its L* moves the tiles
// by less than it moves the bed: 14 to 15 is 11 % of its light.
func TestDoubtOfABlackBed(t *testing.T) {
	bed := colormath.Lab{L: 15}.Luminance() / colormath.Lab{L: 14}.Luminance()
	d := Doubt(&colormath.Lab{L: 14})
	assert.Greater(t, bed, 1.08)
	assert.Less(t, d[0][0].G, 1+.7*(bed-1))
	assert.Greater(t, d[0][0].G, 1.0)
}

// Without a bed nothing but the exposure tells the strength of the light: an eighth
// up or down.
func TestDoubtOfAnUnknownBed(t *testing.T) {
	d := Doubt(nil)
	assert.Equal(t, colormath.LinearRGB{R: 1.125, G: 1.125, B: 1.125}, d[0][0])
	assert.InDelta(t, 1, d[0][0].G*d[0][1].G, 1e-12)
	assert.Equal(t, Doubt(&colormath.Lab{L: 93})[1], d[1])
}
