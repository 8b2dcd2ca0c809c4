package colormath

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
