package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
	"gapshade/segment"
)

// circle is the way round a circle.
func circle(x, y, r float64) (out []segment.Point) {
	for k := range 180 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 180)
		out = append(out, segment.Point{X: x + r*cos, Y: y + r*sin})
	}
	return out
}

// Round a round panel, and in its opening, open bed is read wherever it lies clear of
// the tiles, in the corners of the box too; and nowhere on the panel. (14)
func TestOpenBedRoundAFreePanel(t *testing.T) {
	const n = 300
	m := &segment.Map{W: n, H: n, Free: true, Outline: circle(150, 150, 100), Holes: [][]segment.Point{circle(150, 150, 40)},
		Panel: segment.Quad{{X: 50, Y: 50}, {X: 250, Y: 50}, {X: 250, Y: 250}, {X: 50, Y: 250}}}
	clear := clearOf(m, 10)
	for y := range n {
		for x := range n {
			r := math.Hypot(float64(x)-150, float64(y)-150)
			// Eight directions leave out a part of what lies between two of them.
			switch {
			case r > 112 || r < 27:
				assert.True(t, clear(x, y), "%d, %d", x, y)
			case r > 41 && r < 99 || r > 101 && r < 108 || r > 32 && r < 39:
				assert.False(t, clear(x, y), "%d, %d", x, y)
			}
		}
	}
	m.GapWidthPx = colormath.Spread{P50: 10}
	f := &Field{x0: 150, y0: 150, sx: .01, sy: .01}
	var corner, middle bool
	for _, s := range around(colormath.NewPicture(n, n), m, f, 1) {
		corner = corner || math.Abs(s.x) > .85 && math.Abs(s.x) < 1 && math.Abs(s.y) > .85 && math.Abs(s.y) < 1
		middle = middle || math.Hypot(s.x, s.y) < .2
	}
	assert.True(t, corner, "the box's corners lie open")
	assert.True(t, middle, "so does the opening")
}
