package colormath

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Greys look the same to every vision: the rows of the matrices add up to 1, to the
// digits that were published.
func TestVisionKeepsGreys(t *testing.T) {
	for _, v := range []Vision{Normal, Protan, Deutan, Tritan} {
		for _, y := range []float64{0, .01, .18, .5, 1} {
			c := v.See(LinearRGB{y, y, y})
			assert.InDeltaSlice(t, []float64{y, y, y}, []float64{c.R, c.G, c.B}, 2e-5, "%s %g", v, y)
		}
	}
	assert.False(t, Vision("cat").Knows())
}

// What a dichromat can't tell apart comes out alike: red and a darker green to who
// lacks long or middle waves, blue and green to who lacks short ones, nearer than
// half of what they are to others.
func TestVisionConfuses(t *testing.T) {
	red, green := LinearRGB{R: .5, G: .1, B: .05}, LinearRGB{R: .18, G: .3, B: .05}
	for _, v := range []Vision{Protan, Deutan} {
		assert.Less(t, DeltaE76(v.See(red).Lab(), v.See(green).Lab()), DeltaE76(red.Lab(), green.Lab())/2, v)
	}
	assert.Greater(t, DeltaE76(Tritan.See(red).Lab(), Tritan.See(green).Lab()), DeltaE76(red.Lab(), green.Lab())/2)
	blue, teal := LinearRGB{R: .1, G: .2, B: .6}, LinearRGB{R: .1, G: .25, B: .2}
	assert.Less(t, DeltaE76(Tritan.See(blue).Lab(), Tritan.See(teal).Lab()), DeltaE76(blue.Lab(), teal.Lab())/2)
}

// Seeing twice is seeing once: a dichromat sees the simulation as it is. Brettel's
// projection does so exactly; Machado's model shifts a cone's curve and need not.
func TestTritanIsAProjection(t *testing.T) {
	for _, c := range []LinearRGB{{.6, .1, .1}, {.1, .6, .1}, {.1, .1, .6}, {.5, .4, .1}} {
		once := Tritan.See(c)
		twice := Tritan.See(once)
		assert.InDeltaSlice(t, []float64{once.R, once.G, once.B}, []float64{twice.R, twice.G, twice.B}, 1e-4)
	}
}
