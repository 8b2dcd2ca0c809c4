package colormath

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// paintedPlane has the value of a function of the place in each channel.
func paintedPlane(w, h int, value func(x, y float64) float64) *Picture {
	p := NewPicture(w, h)
	for y := range h {
		for x := range w {
			v := value(float64(x), float64(y))
			p.Set(x, y, LinearRGB{R: v, G: 2 * v, B: -v})
		}
	}
	return p
}

// The identity gives the same picture to the bit, values below 0 and above 1
// included; a whole number of px is a copy.
func TestWarpKeepsPixels(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	pic := paintedPlane(40, 30, func(float64, float64) float64 { return 3*rng.Float64() - 1 })
	same, err := Warp(pic, Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}, 40, 30, 1)
	require.NoError(t, err)
	assert.Equal(t, pic.Pix, same.Pix)
	moved, err := Warp(pic, Homography{1, 0, -7, 0, 1, -4, 0, 0, 1}, 20, 20, 1)
	require.NoError(t, err)
	assert.Equal(t, pic.At(7+5, 4+6), moved.At(5, 6))
}

// A cubic draws straight ramps straight: under a real perspective a ramp in the
// photo is read at the place that the map names, to float32.
func TestWarpOfARamp(t *testing.T) {
	pic := paintedPlane(200, 160, func(x, y float64) float64 { return .001*x + .002*y })
	h, err := HomographyOf([4][2]float64{{30, 25}, {170, 35}, {180, 140}, {20, 130}}, square(0, 0, 299, 199))
	require.NoError(t, err)
	out, err := Warp(pic, h, 300, 200, 3)
	require.NoError(t, err)
	inv, _ := h.Inverse()
	for y := range 200 {
		for x := range 300 {
			u, v := inv.Apply(float64(x), float64(y))
			require.InDelta(t, .001*u+.002*v, out.At(x, y).R, 1e-6, "%d, %d", x, y)
		}
	}
	one, err := Warp(pic, h, 300, 200, 1)
	require.NoError(t, err)
	assert.Equal(t, one.Pix, out.Pix, "threads don't show")
}

// Reduced to a fifth, stripes of one px become their mean in linear light, .5;
// a plain look-up would give 0 or 1.
func TestWarpReduces(t *testing.T) {
	pic := paintedPlane(300, 300, func(x, y float64) float64 { return float64(int(x+y) % 2) })
	out, err := Warp(pic, Homography{.2, 0, 0, 0, .2, 0, 0, 0, 1}, 60, 60, 2)
	require.NoError(t, err)
	for y := 2; y < 58; y++ {
		for x := 2; x < 58; x++ {
			require.InDelta(t, .5, out.At(x, y).R, .05)
		}
	}
}

// No halo: an edge between .2 and .8 stays within them when enlarged threefold.
func TestWarpDrawsNoHalo(t *testing.T) {
	pic := paintedPlane(40, 40, func(x, y float64) float64 {
		if x < 20 {
			return .2
		}
		return .8
	})
	out, err := Warp(pic, Homography{3, 0, 0, .1, 3, 0, 0, 0, 1}, 120, 120, 1)
	require.NoError(t, err)
	for y := range 120 {
		for x := range 120 {
			require.InDelta(t, .5, out.At(x, y).R, .3+1e-6)
		}
	}
}
