package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// The oracle is the light that the sheet was drawn under: a slope, a bulge and a
// cast. 2 % of light is 0.7 of L*.
func TestSheetIsTheLight(t *testing.T) {
	const w, h = 240, 180
	truth := func(x, y float64) colormath.LinearRGB {
		u, v := 2*x/w-1, 2*y/h-1
		e := math.Exp(-.3 + .2*u - .1*v - .08*u*u)
		return colormath.LinearRGB{R: 1.1 * e, G: e, B: .85 * e}
	}
	pic, on := colormath.NewPicture(w, h), make([]bool, w*h)
	for y := range h {
		for x := range w {
			e := truth(float64(x), float64(y))
			c := paper
			if on[y*w+x] = (x/40+y/40)%3 != 0; !on[y*w+x] { // what lies on it
				c = glaze
			}
			pic.Set(x, y, colormath.LinearRGB{R: e.R * c.R, G: e.G * c.G, B: e.B * c.B})
		}
	}
	f, off, ok := Sheet(pic, on, paper)
	require.True(t, ok)
	assert.Less(t, off, .01)
	for y := 5.0; y < h; y += 20 {
		for x := 5.0; x < w; x += 20 {
			want, got := truth(x, y), f.At(x, y)
			assert.InEpsilon(t, want.R, got.R, .02)
			assert.InEpsilon(t, want.G, got.G, .02)
			assert.InEpsilon(t, want.B, got.B, .02)
		}
	}

	// Set gives the field another colour and strength, not another shape.
	before, other := f.At(30, 40), f.At(200, 150)
	f.Set(30, 40, colormath.LinearRGB{R: .5, G: .4, B: .3})
	at := f.At(30, 40)
	assert.InDeltaSlice(t, []float64{.5, .4, .3}, []float64{at.R, at.G, at.B}, 1e-12)
	assert.InEpsilon(t, other.G/before.G, f.At(200, 150).G/at.G, 1e-9)

	_, _, ok = Sheet(pic, make([]bool, w*h), paper)
	assert.False(t, ok, "no sheet shows")
}
