package grout

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
	"gapshade/preview/light"
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

// What is drawn follows the formula between black walls, which keep off light and
// send nothing on: wallHides of what the groove hides. The grid is half a depth fine,
// which costs up to 0.05 at the walls.
func TestDimmingFollowsTheGroove(t *testing.T) {
	for _, c := range []struct{ width, depth float64 }{{12, 2}, {12, 4}, {12, 6}, {30, 3}, {30, 6}, {30, 10}} {
		d := drawn{bed: paper, gap: upright(c.width, 70), light: bright}
		lit := d.lit(Joint{DepthPx: c.depth}, drawnH/2)
		for x := drawnW/2 - int(c.width)/2 + 1; x < drawnW/2+int(c.width)/2; x++ {
			from := float64(x) - drawnW/2 + c.width/2
			assert.InDelta(t, 1-wallHides*(1-groove(from, c.width, c.depth)), lit[x][1], .06, "%v at %g", c, from)
		}
		for i := 1; i <= int(c.width)/2; i++ { // without a lamp both sides are alike
			assert.InDelta(t, lit[drawnW/2-i][1], lit[drawnW/2+i][1], .02, "%v", c)
		}
	}
}

// Walls shine on the joint in their own colour: yellow tiles make it yellower at
// their feet than in the middle, and white ones leave it as bright as it was (within
// a tenth: they hide half a sky and send on a little more).
func TestWallsShineInTheirColour(t *testing.T) {
	yellow := drawn{tile: colormath.LinearRGB{R: .8, G: .6, B: .05}, bed: paper, gap: upright(16, 70), light: bright}.lit(Joint{DepthPx: 4}, drawnH/2)
	foot, middle := yellow[drawnW/2-7], yellow[drawnW/2]
	assert.Less(t, foot[2]/foot[0], .85*middle[2]/middle[0])
	assert.Greater(t, foot[0], foot[1])
	white := drawn{tile: bright, bed: paper, gap: upright(16, 70), light: bright}.lit(Joint{DepthPx: 4}, drawnH/2)
	for x := drawnW/2 - 7; x < drawnW/2+7; x++ {
		assert.InDelta(t, 1, white[x][1], .1)
	}
}

// A joint without a wall in sight is lit as the faces are: the middle of an open
// space. So is one that lies flush with them, wherever it is.
func TestOpenSpaceIsNotDimmed(t *testing.T) {
	for _, v := range (drawn{tile: slate, bed: paper, gap: func(int, int) float64 { return 1 }, light: bright}).lit(Joint{DepthPx: 4}, drawnH/2) {
		assert.InDelta(t, 1, v[1], 1e-6)
	}
	lamp := light.Lamp{X: -1, Reach: 1, Soft: .3, Share: [3]float64{.6, .6, .6}}
	for _, v := range (drawn{tile: slate, bed: paper, gap: upright(16, 70), light: bright}).lit(Joint{Lamp: lamp}, drawnH/2) {
		assert.Equal(t, [3]float32{1, 1, 1}, v)
	}
}

// The wall on the lamp's side throws the shadow, as far as the lamp is low; the other
// side is in full light.
func TestShadowFallsAwayFromTheLamp(t *testing.T) {
	d := drawn{bed: paper, gap: upright(24, 70), light: bright}
	lamp := light.Lamp{X: -1, Reach: 1, Soft: .4, Share: [3]float64{.6, .6, .6}}
	left := d.lit(Joint{DepthPx: 8, Lamp: lamp}, drawnH/2)
	lamp.X = 1
	right := d.lit(Joint{DepthPx: 8, Lamp: lamp}, drawnH/2)
	for i := 2; i < 11; i++ {
		assert.InDelta(t, left[drawnW/2-i][1], right[drawnW/2+i][1], .1, "the mirror image but for a grid of 2 px, %d px", i)
	}
	for x := drawnW/2 - 11; x < drawnW/2-8; x++ { // at the foot of the wall: no lamp at all
		assert.Less(t, left[x][1], float32(.45), "x %d", x)
		assert.Greater(t, left[x][1], float32(.15), "never pitch dark: the sky is left")
	}
	for x := drawnW / 2; x < drawnW/2+8; x++ { // past the shadow, which is 8 × .72 px long
		assert.Greater(t, left[x][1], float32(.85), "x %d", x)
	}
	for _, v := range left {
		assert.LessOrEqual(t, v[1], float32(1))
	}
}
