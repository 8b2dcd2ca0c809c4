package contrast

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
)

// A little map, two px to a letter, gap 2 px: read by eye.
func TestSchemeOfALittleMap(t *testing.T) {
	m, _ := letters(
		".......",
		".aaabb.",
		".aaabb.",
		".......",
	)
	for y := range m.H {
		m.Inside = append(m.Inside, segment.Span{Y: y, X1: m.W})
	}
	m.GapWidthPx.P50 = 16 // four px to a letter: cells of a letter
	m.Borders = []segment.Border{{A: 1, B: 2, Length: 8}}
	s := newScheme(m, 2)
	s.findCores(len(m.Tiles))
	require.Equal(t, []int{7, 4, 4}, []int{s.w, s.h, s.side})
	assert.Equal(t, []float32{
		1, 1, 1, 1, 1, 1, 1,
		1, 0, 0, 0, 0, 0, 1,
		1, 0, 0, 0, 0, 0, 1,
		1, 1, 1, 1, 1, 1, 1}, s.joint.V)
	assert.Equal(t, []uint16{
		1, 1, 1, 1, 2, 2, 2,
		1, 1, 1, 1, 2, 2, 2,
		1, 1, 1, 1, 2, 2, 2,
		1, 1, 1, 1, 2, 2, 2}, s.near, "the joint belongs to the nearest tile")
	assert.Equal(t, []int16{
		0, 0, 0, 0, 0, 0, 0,
		0, 3, 3, 3, 3, 3, 0,
		0, 3, 3, 3, 3, 3, 0,
		0, 0, 0, 0, 0, 0, 0}, s.depth, "two tiles that touch end there")
	assert.Len(t, s.cores[0], 6)
	assert.Len(t, s.cores[1], 4)
	assert.Len(t, s.across[0], 4)
	for _, c := range s.across[0] {
		assert.InDelta(t, 3.5, c.x, .51, "between the third and the fourth column")
	}
}

// Outside the panel its own mean goes on; cells that the panel only touches count
// as outside.
func TestSchemeOutside(t *testing.T) {
	d := courses(4, 4, 20, 20, 4, 0)
	m := d.draw()
	for i := range m.Inside { // a panel without its lower right quarter
		if m.Inside[i].Y >= 40 {
			m.Inside[i].X1 = 40
		}
	}
	s := newScheme(m, 1)
	s.findCores(len(m.Tiles))
	var sum, n float64
	for k, out := range s.out {
		x, y := (k%s.w)*s.side, (k/s.w)*s.side
		assert.Equal(t, x >= 40 && y >= 40, out, "%d, %d", x, y)
		if !out {
			sum, n = sum+float64(s.joint.V[k]), n+1
		}
	}
	assert.InDelta(t, sum/n, s.joint.V[len(s.joint.V)-1], 1e-6)
	assert.InDelta(t, 1-16.*16/400, sum/n, .02, "tiles of 16 in squares of 20")
}

// The middles of joints lie in them to a seventh of a px, also where the joint is a
// few px wide and runs at an angle.
func TestMiddlesLieInTheMiddle(t *testing.T) {
	for _, gap := range []float64{2, 3.3, 7} {
		const slope = .2
		d := drawing{w: 120, h: 90, gap: gap, at: func(x, y float64) int {
			off := (x - 60.3 - slope*(y-45)) / math.Hypot(1, slope)
			switch {
			case off < -gap/2:
				return 1
			case off > gap/2:
				return 2
			}
			return 0
		}}
		m := d.draw()
		s := newScheme(m, 1)
		s.findCores(len(m.Tiles))
		require.Greater(t, len(s.across[0]), 40)
		for _, c := range s.across[0] {
			x := (float64(c.x)+.5)*float64(s.side) - .5
			y := (float64(c.y)+.5)*float64(s.side) - .5
			fine := .15
			if float32(int(c.y)) != c.y {
				fine = .5 // down a column the way across is too long to follow
			}
			assert.InDelta(t, 60.3+slope*(y-45), x, fine, "gap %g at row %g", gap, y)
		}
	}
}

// Channels, as the arithmetic of the layout has them. In a grid all joints run
// through. In running bond of bricks 2 to 1 only the level ones do: two thirds of
// the length. In a honeycomb none does.
func TestChannels(t *testing.T) {
	channels := func(d drawing) float64 {
		m := d.draw()
		return NewPanel(m, flat(m, always(colormath.Lab{L: 50})), nil, 2).Channels
	}
	assert.Equal(t, 1.0, channels(courses(12, 12, 24, 24, 5, 0)))
	bond := channels(courses(6, 12, 48, 24, 5, .5))
	assert.InDelta(t, 2./3, bond, .06)
	assert.Less(t, channels(honeycomb(12, 12, 28, 5)), .05)
	assert.Zero(t, channels(courses(2, 2, 24, 24, 5, 0)), "too few tiles to run through")
}

// The grid shows as far as the joint does: nothing where it melts in, all of it from
// HyAB 40, and never more than the share that runs through.
func TestGridEmphasis(t *testing.T) {
	m := courses(8, 8, 24, 24, 5, 0).draw()
	p := NewPanel(m, flat(m, always(colormath.Lab{L: 50})), nil, 2)
	assert.Zero(t, p.Measure(colormath.Lab{L: 54}).Grid)
	assert.InDelta(t, .5, p.Measure(colormath.Lab{L: 72.5}).Grid, 1e-9, "half way from 5 to 40")
	assert.InDelta(t, 1, p.Measure(colormath.Lab{L: 95}).Grid, 1e-9)
	assert.InDelta(t, 50, p.Terms("balance", colormath.Lab{L: 72.5}).QuietGrid, 1e-9)
}
