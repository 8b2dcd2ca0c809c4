package photo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

func square(x0, y0, x1, y1 float64) [4][2]float64 {
	return [4][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// Maps that can be written down by hand.
func TestHomographyKnown(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to [4][2]float64
		want     Homography
	}{
		{"same", square(0, 0, 10, 10), square(0, 0, 10, 10), Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}},
		{"moved and doubled", square(0, 0, 10, 10), square(3, 5, 23, 25), Homography{2, 0, 3, 0, 2, 5, 0, 0, 1}},
		{"quarter turn", square(0, 0, 1, 1), [4][2]float64{{0, 0}, {0, 1}, {-1, 1}, {-1, 0}}, Homography{0, -1, 0, 1, 0, 0, 0, 0, 1}},
		// x/(1+y), 2y/(1+y): takes (1,1) to (1/2, 1) and leaves the top edge.
		{"tilted", square(0, 0, 1, 1), [4][2]float64{{0, 0}, {1, 0}, {.5, 1}, {0, 1}}, Homography{1, 0, 0, 0, 2, 0, 0, 1, 1}},
	} {
		h, err := HomographyOf(c.from, c.to)
		require.NoError(t, err, c.name)
		assert.InDeltaSlice(t, c.want[:], h[:], 1e-12, c.name)
	}
}

// Any four points go where they should, and there and back is the same place to
// 1e-9 px over a photo of 4,000 px.
func TestHomographyRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 500 {
		from, to := square(0, 0, 4000, 3000), square(0, 0, 1000, 700)
		for i := range from {
			for k := range 2 {
				from[i][k] += 800 * (rng.Float64() - .5)
				to[i][k] += 150 * (rng.Float64() - .5)
			}
		}
		h, err := HomographyOf(from, to)
		require.NoError(t, err)
		inv, ok := h.Inverse()
		require.True(t, ok)
		for i := range from {
			x, y := h.Apply(from[i][0], from[i][1])
			require.InDeltaSlice(t, to[i][:], []float64{x, y}, 1e-9)
		}
		px, py := 500+3000*rng.Float64(), 500+2000*rng.Float64()
		x, y := inv.Apply(h.Apply(px, py))
		require.InDeltaSlice(t, []float64{px, py}, []float64{x, y}, 1e-9)
	}
}

// Three points on a line give no map.
func TestHomographyRefuses(t *testing.T) {
	_, err := HomographyOf([4][2]float64{{0, 0}, {5, 0}, {10, 0}, {20, 0}}, square(0, 0, 1, 1))
	assert.Error(t, err)
	_, err = HomographyOf([4][2]float64{{1, 1}, {1, 1}, {1, 1}, {1, 1}}, square(0, 0, 1, 1))
	assert.Error(t, err)
	_, err = HomographyOf([4][2]float64{{math.NaN(), 0}, {1, 0}, {1, 1}, {0, 1}}, square(0, 0, 1, 1))
	assert.Error(t, err)
}

// The stretch of a plain scaling is its larger factor, by hand.
func TestStretch(t *testing.T) {
	assert.InDelta(t, 3, Homography{2, 0, 7, 0, 3, 1, 0, 0, 1}.stretch(4, 5), 1e-12)
	assert.InDelta(t, 1, Homography{0, -1, 0, 1, 0, 0, 0, 0, 1}.stretch(4, 5), 1e-12)
}

// paintedPlane has the value of a function of the place in each channel.
func paintedPlane(w, h int, value func(x, y float64) float64) *colormath.Picture {
	p := colormath.NewPicture(w, h)
	for y := range h {
		for x := range w {
			v := value(float64(x), float64(y))
			p.Set(x, y, colormath.LinearRGB{R: v, G: 2 * v, B: -v})
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
