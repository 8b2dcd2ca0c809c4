package segment

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func strokesOf(t *testing.T, lines string) []Stroke {
	w, h, on := mask(t, lines)
	return StrokesOf(w, h, func(i int) bool { return on[i] }, ShowsGap)
}

// By eye: three parts, and a dot of two pixels that is dirt.
func TestStrokesOfParts(t *testing.T) {
	got := strokesOf(t, `
		.##......##....
		.##......##....
		...............
		.......###.....
		.......###.....
		.......###..##.`)
	require.Len(t, got, 3)
	assert.Equal(t, []Dab{{Point{8, 4}, 1.5}}, got[2].Path, "a square of three is a disc in its middle")
	for _, s := range got {
		assert.Equal(t, ShowsGap, s.Shows)
		assert.NoError(t, s.check())
	}
}

// By eye: a line, its ends and its middle row.
func TestStrokesOfALine(t *testing.T) {
	got := strokesOf(t, `
		..............
		.############.
		.############.
		.############.
		..............`)
	require.Len(t, got, 1)
	path := got[0].Path
	length, radius := lengthOf(path)
	assert.InDelta(t, 11, length, 2)
	assert.InDelta(t, 1.5, radius, .3)
	for _, d := range path {
		assert.InDelta(t, 2, d.Y, .01)
	}
}

// By eye: a T of thin lines has three arms that meet in the middle.
func TestStrokesOfABranching(t *testing.T) {
	got := strokesOf(t, `
		.............
		.###########.
		......#......
		......#......
		......#......
		......#......
		......#......
		.............`)
	require.Len(t, got, 3)
	for _, s := range got {
		a, b := s.Path[0].Point, s.Path[len(s.Path)-1].Point
		assert.True(t, math.Hypot(a.X-6, a.Y-1) < 2 || math.Hypot(b.X-6, b.Y-1) < 2, "%v … %v", a, b)
		length, _ := lengthOf(s.Path)
		assert.InDelta(t, 5, length, 1)
	}
}

// By eye: a ring comes round once.
func TestStrokesOfARing(t *testing.T) {
	got := strokesOf(t, `
		.........
		.#######.
		.#.....#.
		.#.....#.
		.#.....#.
		.#######.
		.........`)
	require.Len(t, got, 1)
	length, _ := lengthOf(got[0].Path)
	assert.InDelta(t, 20, length, 3, "6 + 6 + 4 + 4, corners cut")
	assert.Equal(t, got[0].Path[0], got[0].Path[len(got[0].Path)-1])
}

func TestStrokesOfNothing(t *testing.T) {
	assert.Empty(t, StrokesOf(5, 4, func(int) bool { return false }, ShowsTile))
	all := StrokesOf(40, 30, func(int) bool { return true }, ShowsTile)
	assert.NotEmpty(t, all, "the picture's own edge ends what was painted")
}

// Painted again, the strokes are what they were read from: strokes of a round brush
// in all directions, in a net, thin and wide. At most one pixel in a hundred of the
// shape may differ by more than a px from its edge.
func TestStrokesOfWhatStrokesPaint(t *testing.T) {
	v := &view{w: 300, h: 260}
	for name, strokes := range map[string][]Stroke{
		"a line":      {line(ShowsGap, 4, 30, 40, 260, 190)},
		"a bend":      {line(ShowsGap, 6, 30, 40, 150, 60, 160, 200, 40, 220)},
		"a crossing":  {line(ShowsGap, 3, 30, 40, 260, 190), line(ShowsGap, 3, 40, 230, 250, 30)},
		"a fat one":   {line(ShowsGap, 25, 60, 60, 200, 180)},
		"a hairline":  {line(ShowsGap, .75, 20, 20, 280, 100)},
		"a dab":       {line(ShowsGap, 17, 100, 100)},
		"two in one":  {line(ShowsGap, 20, 80, 80), line(ShowsGap, 4, 80, 80, 250, 90)},
		"a small dab": {line(ShowsGap, 1.5, 100, 100)},
		"upright":     {line(ShowsGap, 2, 100.5, 20, 100.5, 200)}, // four px across: no middle column
		"level":       {line(ShowsGap, 3, 20, 100.5, 260, 100.5)},
	} {
		was := drawnBy(v, strokes)
		got := StrokesOf(v.w, v.h, func(i int) bool { return was[i] < 0 }, ShowsGap)
		require.NotEmpty(t, got, name)
		assert.LessOrEqual(t, len(got), 6, name)
		is := drawnBy(v, got)
		area, off := 0, 0
		for i := range was {
			if was[i] < 0 {
				area++
			}
			if (was[i] < 0) != (is[i] < 0) && math.Abs(float64(was[i])) > 1 {
				off++
			}
		}
		assert.LessOrEqual(t, float64(off), .01*float64(area), name)
	}
}

// drawnBy is how far each pixel lies outside of all strokes, up to 3.
func drawnBy(v *view, strokes []Stroke) []float32 {
	out := make([]float32, v.w*v.h)
	for i := range out {
		out[i] = 3
	}
	for _, s := range strokes {
		own := v.shapeOf(s.Path, 2)
		each(own.win, func(x, y int) { out[y*v.w+x] = min(out[y*v.w+x], float32(own.at(x, y))) })
	}
	return out
}
