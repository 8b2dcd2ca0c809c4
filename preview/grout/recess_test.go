package grout

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/segment"
)

// groove is the share of the sky seen from the floor of a long groove of width w
// and depth h, x from one wall (view factor of an infinite groove; Hottel's
// crossed strings, 1954).
func groove(x, w, h float64) float64 {
	return (x/math.Hypot(x, h) + (w-x)/math.Hypot(w-x, h)) / 2
}

// bell is the gap coverage under a Gaussian of σ = h at the same place.
func bell(x, w, h float64) float64 {
	return (math.Erf(x/h/math.Sqrt2) + math.Erf((w-x)/h/math.Sqrt2)) / 2
}

// How near the Gaussian comes to the view factor, from joints twice as wide as
// they are deep on: within 0.065 everywhere, at the walls within 0.032. The
// largest miss is in the middle of joints of four to five depths, where the
// Gaussian already sees all of the sky.
func TestBellStandsForTheGroove(t *testing.T) {
	anywhere, wall := 0.0, 0.0
	for w := 2.0; w <= 40; w += .25 {
		for i := range 101 {
			x := w * float64(i) / 100
			anywhere = max(anywhere, math.Abs(groove(x, w, 1)-bell(x, w, 1)))
		}
		wall = max(wall, math.Abs(groove(0, w, 1)-bell(0, w, 1)))
	}
	assert.Less(t, anywhere, .065)
	assert.Greater(t, anywhere, .05, "the comment above would say less than is true")
	assert.Less(t, wall, .032)
}

// What is drawn follows the formula: half light or less at the walls, nearly all
// of it in the middle. The grid is half a depth fine, which costs up to 0.05 at
// the walls.
func TestDimmingFollowsTheGroove(t *testing.T) {
	for _, c := range []struct{ width, depth float64 }{{12, 2}, {12, 4}, {12, 6}, {30, 3}, {30, 6}, {30, 10}} {
		_, _, m := drawn{tile: slate, bed: paper, gap: upright(c.width, 70), light: bright}.draw()
		dim := dimming(m, c.depth, drawnH/2)
		for x := drawnW/2 - int(c.width)/2 + 1; x < drawnW/2+int(c.width)/2; x++ {
			from := float64(x) - drawnW/2 + c.width/2
			sky := 1 - (1-float64(dim[x]))/skyShare
			assert.InDelta(t, groove(from, c.width, c.depth), sky, .12, "%v at %g", c, from)
		}
		for i := 1; i <= int(c.width)/2; i++ { // without a lamp both sides are alike
			assert.InDelta(t, dim[drawnW/2-i], dim[drawnW/2+i], .02, "%v", c)
		}
	}
}

// A joint without a wall in sight is not dimmed at all: the middle of an open
// space.
func TestOpenSpaceIsNotDimmed(t *testing.T) {
	_, _, m := drawn{tile: slate, bed: paper, gap: func(int, int) float64 { return 1 }, light: bright}.draw()
	for _, f := range dimming(m, 4, drawnH/2) {
		assert.InDelta(t, 1, f, 1e-6)
	}
}

// The wall on the lamp's side throws the shadow.
func TestShadowFallsAwayFromTheLamp(t *testing.T) {
	_, _, m := drawn{tile: slate, bed: paper, gap: upright(16, 70), light: bright}.draw()
	m.Lamp = segment.Lamp{X: -.3}
	left := dimming(m, 5, drawnH/2)
	m.Lamp = segment.Lamp{X: .3}
	right := dimming(m, 5, drawnH/2)
	for i := 2; i < 7; i++ {
		assert.Less(t, left[drawnW/2-i], left[drawnW/2+i]-.02, "%d px from the middle", i)
		assert.InDelta(t, left[drawnW/2-i], right[drawnW/2+i], .03, "the mirror image")
	}
	for _, f := range left {
		assert.Greater(t, f, float32(.2), "never pitch dark")
		assert.LessOrEqual(t, f, float32(1))
	}
}
