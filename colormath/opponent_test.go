package colormath

import (
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

// Place by place it is what the whole picture's filter gives, smooth as the picture
// is: noise is the hardest, so it is blurred a little first.
func TestGlimpseIsSeen(t *testing.T) {
	p := Seen(noise(161, 147), 200, 1)
	for _, rate := range []float64{30, 90, 300} {
		whole := Seen(p, rate, 1)
		for i := range 3 {
			in := NewPlane(p.W, p.H)
			for k := range in.V {
				in.V[k] = float32(p.At(k%p.W, k/p.W).Opponent()[i])
			}
			got := in.Glimpse(i, rate, 1, 2)
			for _, at := range [][2]int{{20, 20}, {80, 70}, {140, 31}, {77, 120}, {50, 90}} {
				assert.InDelta(t, whole.At(at[0], at[1]).Opponent()[i], got.At(float64(at[0]), float64(at[1])), .006, "plane %d at %v, %g per degree", i, at, rate)
			}
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
	return in.Glimpse(index, rate, 1, 1).At(middle, 1)
}

// An even field stays as it is, at its edges too, on one pixel too; and threads
// change nothing.
func TestGlimpseOfAnEvenField(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {3, 2}, {90, 41}} {
		p := NewPlane(size[0], size[1])
		for i := range p.V {
			p.V[i] = .3
		}
		for _, rate := range []float64{1, 20, 60, 400, 20000} {
			for k := range 3 {
				g := p.Glimpse(k, rate, 3, 1)
				for _, at := range [][2]float64{{0, 0}, {float64(size[0]) - 1, float64(size[1]) - 1}, {.4, .7}, {-3, 99}} {
					assert.InDelta(t, .3, g.At(at[0], at[1]), 1e-6, "%v at %g", size, rate)
				}
			}
		}
	}
	p := NewPlane(70, 55)
	for i := range p.V {
		p.V[i] = float32(i%7) / 7
	}
	assert.Equal(t, p.Glimpse(0, 60, 2, 1), p.Glimpse(0, 60, 2, 5))
}

// Reading: weights 1/8, 3/4, 1/8 at a centre by splines, all of it by lines; a
// straight slope stays one by both; and the spline's variance is ¼ everywhere.
func TestReading(t *testing.T) {
	assert.Equal(t, [3]float64{.125, .75, .125}, spline(0))
	assert.Equal(t, [3]float64{0, 1, 0}, lines(0))
	for _, off := range []float64{-.5, -.2, 0, .31, .5} {
		for _, w := range [][3]float64{spline(off), lines(off)} {
			assert.InDelta(t, 1, w[0]+w[1]+w[2], 1e-12)
			assert.InDelta(t, off, w[2]-w[0], 1e-12)
		}
		w := spline(off)
		assert.InDelta(t, .25, w[0]+w[2]-off*off, 1e-12)
	}
}

func TestPlaneReducedAndEnlarged(t *testing.T) {
	p := Plane{W: 2, H: 2, V: []float32{0, 1, 2, 5}}
	assert.Equal(t, []float32{2}, p.Reduced(1, 1, 1).V)
	assert.Equal(t, p.V, p.Reduced(5, 5, 1).V, "never enlarged")
	assert.Equal(t, []float32{0, 0, 1, 1, 0, 0, 1, 1, 2, 2, 5, 5, 2, 2, 5, 5}, p.Enlarged(2).V)
	assert.Equal(t, p, p.Enlarged(1))
	wide := Plane{W: 3, H: 1, V: []float32{0, 3, 6}}
	assert.InDeltaSlice(t, []float64{1, 5}, []float64{float64(wide.Reduced(2, 1, 1).V[0]), float64(wide.Reduced(2, 1, 1).V[1])}, 1e-6)
}
