package colormath

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// There and back; and by hand, white (0.950456, 1, 1.089058) in the first row is
// .2787336·.950456 + .7218031 − .1065520·1.089058.
func TestOpponent(t *testing.T) {
	for _, c := range []LinearRGB{{1, 1, 1}, {.2, .5, .1}, {1.3, -.1, 0}} {
		back := c.Opponent().LinearRGB()
		assert.InDeltaSlice(t, []float64{c.R, c.G, c.B}, []float64{back.R, back.G, back.B}, 1e-12)
	}
	assert.InDelta(t, .2787336*.950456+.7218031-.1065520*1.089058, LinearRGB{1, 1, 1}.Opponent()[0], 1e-6)
}

// Plane by plane it is the same as a whole picture.
func TestSeenByPlanes(t *testing.T) {
	p := noise(61, 47)
	whole := Seen(p, 70, 1)
	for i := range 3 {
		in := NewPlane(p.W, p.H)
		for k := range in.V {
			in.V[k] = float32(p.At(k%p.W, k/p.W).Opponent()[i])
		}
		got := in.Seen(i, 70, 0, 2)
		for k := range got.V {
			require.InDelta(t, whole.At(k%p.W, k/p.W).Opponent()[i], got.V[k], 2e-6)
		}
	}
}

// Oracle: scielab_line_response.csv. A joint drawn as its share of the pixels it
// cuts, and read in its middle, is what the filters leave of the joint itself:
// within .015 wherever the middle falls on the pixels and .01 on the mean over
// such places; however thin from FineRate up, and from 4 px of width down to 15
// samples per degree.
func TestLineOnCoarsePixels(t *testing.T) {
	checked := 0
	for _, r := range reference(t, "scielab_line_response.csv", 24) {
		width := r.num(t, "width_deg")
		for i, name := range planeNames {
			fine := FineRate(i)
			for _, rate := range []float64{15, 22, 30, fine, 1.3 * fine, 2 * fine} {
				px := width * rate
				if px > 12 || rate < fine && px < 4 {
					continue
				}
				mean := 0.0
				for _, off := range []float64{0, .125, .25, .375, .5} {
					got := coarseLine(px, off, rate, i)
					mean += got / 5
					assert.InDelta(t, r.num(t, name), got, .015, "%s, %.2f px at %v per degree, %g off", name, px, rate, off)
					checked++
				}
				assert.InDelta(t, r.num(t, name), mean, .01, "%s, %.2f px at %v per degree", name, px, rate)
			}
		}
	}
	require.Greater(t, checked, 500)
}

// coarseLine is the middle of a line px wide that lies off a pixel's centre.
func coarseLine(px, off, rate float64, index int) float64 {
	n := 2*int(8*rate) + 1
	middle := float64(n/2) + off
	in := NewPlane(n, 3)
	for x := range n {
		covered := min(float64(x)+.5, middle+px/2) - max(float64(x)-.5, middle-px/2)
		for y := range 3 {
			in.V[y*n+x] = float32(max(0, covered))
		}
	}
	return in.Seen(index, rate, MeanPixels+ReadBetween, 1).At(middle, 1)
}

func TestPlaneAtAndReduced(t *testing.T) {
	p := Plane{W: 2, H: 2, V: []float32{0, 1, 2, 5}}
	assert.InDelta(t, 2, p.At(.5, .5), 1e-12, "the mean of four")
	assert.InDelta(t, 5, p.At(9, 9), 1e-12)
	assert.InDelta(t, 0, p.At(-9, -9), 1e-12)
	// Weights 1/8, 3/4, 1/8 at a centre; and a straight slope stays one.
	spike := Plane{W: 5, H: 1, V: []float32{0, 0, 8, 0, 0}}
	assert.InDelta(t, 6, spike.At(2, 0), 1e-12)
	assert.InDelta(t, 1, spike.At(1, 0), 1e-12)
	slope := Plane{W: 5, H: 1, V: []float32{0, 1, 2, 3, 4}}
	for _, x := range []float64{1, 1.3, 2.5, 2.9} {
		assert.InDelta(t, x, slope.At(x, 0), 1e-12)
	}
	assert.Equal(t, []float32{2}, p.Reduced(1, 1, 1).V)
	assert.Equal(t, p.V, p.Reduced(5, 5, 1).V, "never enlarged")
	assert.Equal(t, []float32{0, 0, 1, 1, 0, 0, 1, 1, 2, 2, 5, 5, 2, 2, 5, 5}, p.Enlarged(2).V)
	assert.Equal(t, p, p.Enlarged(1))
	wide := Plane{W: 3, H: 1, V: []float32{0, 3, 6}}
	assert.InDeltaSlice(t, []float64{1, 5}, []float64{float64(wide.Reduced(2, 1, 1).V[0]), float64(wide.Reduced(2, 1, 1).V[1])}, 1e-6)
	assert.False(t, math.IsNaN(NewPlane(1, 1).Seen(0, 60, MeanPixels, 1).At(0, 0)))
}
