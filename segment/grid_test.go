package segment

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment/net"
)

// drawnNet is a network that knows: in the pictures of these tests the red light
// of a pixel is its share of tile.
type drawnNet struct{}

func (drawnNet) Tiles(in net.Input, _ int) []float32 {
	tile := make([]float32, in.W*in.H)
	for i := range tile {
		tile[i] = colormath.Decode8(uint8(255*in.RGB[i] + .5))
	}
	return tile
}

// grid is cols × rows square tiles, the first one's corner at (x, y), drawn with
// the exact share of every pixel that a tile covers.
type grid struct {
	w, h       int // of the picture
	x, y       float64
	cols, rows int
	tile, gap  float64
}

// twelve is 4 × 3 tiles of 20 px with gaps of 5 px: 95 × 70 px from edge to edge.
func twelve(x, y float64) grid {
	return grid{w: 160, h: 130, x: x, y: y, cols: 4, rows: 3, tile: 20, gap: 5}
}

func (g grid) picture() *colormath.Picture {
	return painted(g.w, g.h, func(x, y int) (r, gr, b float64) {
		t := g.along(x, g.x, g.cols) * g.along(y, g.y, g.rows)
		return t, .1 + .5*t, .2 + .2*t
	})
}

// along is the share of the pixel from i−½ to i+½ that lies on tile.
func (g grid) along(i int, start float64, n int) float64 {
	sum := 0.
	for k := range n {
		a := start + float64(k)*(g.tile+g.gap)
		sum += max(0, min(float64(i)+.5, a+g.tile)-max(float64(i)-.5, a))
	}
	return sum
}

// panel is the grid's outline, m px larger all round.
func (g grid) panel(m float64) *Quad {
	x0, y0 := g.x-m, g.y-m
	x1 := g.x + float64(g.cols)*(g.tile+g.gap) - g.gap + m
	y1 := g.y + float64(g.rows)*(g.tile+g.gap) - g.gap + m
	return &Quad{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

func (g grid) find(t *testing.T, opt Options) *Map {
	t.Helper()
	f := &Finder{net: drawnNet{}}
	m, err := f.Find(context.Background(), g.picture(), opt)
	require.NoError(t, err)
	assertSound(t, m)
	return m
}

// Offsets of the grid against the pixels: on pixel edges, through the middle of
// pixels, and neither.
var offsets = [][2]float64{{30.3, 24.7}, {30.5, 24.5}, {30, 24}, {31.15, 23.6}}

func atEveryOffset(t *testing.T, test func(t *testing.T, g grid)) {
	for _, o := range offsets {
		t.Run(fmt.Sprint(o[0], ",", o[1]), func(t *testing.T) { test(t, twelve(o[0], o[1])) })
	}
}

// By arithmetic: 2.3 px round the grid make a panel of 99.6 × 74.6 px, of which
// 12 · 400 px² are tile. Corners come out a little round, hence 1 % of gap.
func TestGridAreas(t *testing.T) {
	atEveryOffset(t, func(t *testing.T, g grid) {
		m := g.find(t, Options{Panel: g.panel(2.3)})
		assert.InDelta(t, 99.6*74.6, m.PanelPx, 110, "up to half a row or column more or less")
		assert.InDelta(t, 1-4800/m.PanelPx, m.GapShare, .01)
		require.Len(t, m.Tiles, 12)
		for i, b := range m.Tiles {
			assert.InDelta(t, 400, b.AreaPx, 5)
			// in reading order; the centre of tile (c, r) lies 25 px from the last
			assert.InDelta(t, g.x+10+25*float64(i%4), b.Centre.X, .3)
			assert.InDelta(t, g.y+10+25*float64(i/4), b.Centre.Y, .3)
			assert.InDelta(t, 20, b.X1-b.X0, 1)
			assert.InDelta(t, 20, b.Y1-b.Y0, 1)
			assert.False(t, b.Cut, "half a gap away from the edge")
		}
		assert.Zero(t, m.CutTiles())
		assert.Greater(t, m.Confidence, .8)
	})
}

// By arithmetic: 3 joints in each of 3 rows, 4 in each of 2 columns, 17 in all.
// Corner to corner is no joint.
func TestGridBorders(t *testing.T) {
	for _, o := range offsets[:2] {
		g := twelve(o[0], o[1])
		m := g.find(t, Options{Panel: g.panel(2.3)})
		assertJoints(t, m, m.Borders)
	}
}

func assertJoints(t *testing.T, m *Map, joints []Border) {
	t.Helper()
	var want, got [][2]int
	for k := range 12 {
		if k%4 < 3 {
			want = append(want, [2]int{k + 1, k + 2})
		}
		if k/4 < 2 {
			want = append(want, [2]int{k + 1, k + 5})
		}
	}
	for _, b := range joints {
		got = append(got, [2]int{b.A, b.B})
		assert.InDelta(t, 5, b.WidthPx, .3, "between %d and %d", b.A, b.B)
		// along 20 px of tile, and at most to the middle of the crossings
		assert.InDelta(t, 22.5, b.Length, 4, "between %d and %d", b.A, b.B)
	}
	assert.Equal(t, want, got)
	assert.InDelta(t, 5, m.GapWidthPx.P50, .3)
}

// However the grid lies on the pixels, the borders longer than they are wide
// are the joints.
func TestGridJointsAtEveryOffset(t *testing.T) {
	atEveryOffset(t, func(t *testing.T, g grid) {
		m := g.find(t, Options{Panel: g.panel(2.3)})
		var joints []Border
		for _, b := range m.Borders {
			if float64(b.Length) > b.WidthPx {
				joints = append(joints, b)
			}
		}
		assertJoints(t, m, joints)
	})
}

// By arithmetic: a panel .7 px inside the tiles' outer edges is 93.6 × 68.6 px, and
// its ten tiles at the rim touch the edge. Three joints of 5 × 68.6 px and two of
// 93.6 × 5 px, less six crossings of 25 px², are gap: 1815 px².
func TestGridCutTiles(t *testing.T) {
	atEveryOffset(t, func(t *testing.T, g grid) {
		m := g.find(t, Options{Panel: g.panel(-.7)})
		assert.InDelta(t, 1815/(93.6*68.6), m.GapShare, .01)
		require.Len(t, m.Tiles, 12)
		assert.Equal(t, 10, m.CutTiles())
		assert.False(t, m.Tiles[5].Cut)
		assert.False(t, m.Tiles[6].Cut)
	})
}

// A panel that ends in the middle of the last column halves its three tiles.
func TestGridCutInHalf(t *testing.T) {
	g := twelve(30.3, 24.7)
	q := g.panel(2.3)
	q[1].X -= 12.5
	q[2].X -= 12.5
	m := g.find(t, Options{Panel: q})
	require.Len(t, m.Tiles, 12)
	assert.Equal(t, 3, m.CutTiles())
	for _, i := range []int{3, 7, 11} {
		assert.True(t, m.Tiles[i].Cut)
		assert.InDelta(t, 200, m.Tiles[i].AreaPx, 12)
	}
}

// Without corners the panel is found: the tiles and about half a gap round them.
func TestGridPanelIsFound(t *testing.T) {
	atEveryOffset(t, func(t *testing.T, g grid) {
		m := g.find(t, Options{})
		assert.False(t, m.WholePicture)
		require.Len(t, m.Tiles, 12)
		want := g.panel(2.3)
		for i, p := range m.Panel {
			assert.LessOrEqual(t, math.Hypot(p.X-want[i].X, p.Y-want[i].Y), 3., "corner %d: %v, not %v", i, p, want[i])
		}
	})
}

// The expected gap width is a hint about the scale, not an answer.
func TestGridWithAGapHint(t *testing.T) {
	g := twelve(30.3, 24.7)
	for _, hint := range []float64{3, 5, 8} {
		m := g.find(t, Options{Panel: g.panel(2.3), GapPx: hint})
		assert.Len(t, m.Tiles, 12)
		assert.InDelta(t, 5, m.GapWidthPx.P50, .3)
	}
}

// A larger picture is looked at reduced; the figures must not depend on it.
func TestLargeGridIsMeasuredAtFullSize(t *testing.T) {
	g := grid{w: 1300, h: 1000, x: 61.3, y: 44.6, cols: 11, rows: 8, tile: 90, gap: 17}
	m := g.find(t, Options{Panel: g.panel(8.5)})
	require.Len(t, m.Tiles, 88)
	assert.Len(t, m.Borders, 10*8+11*7)
	assert.InDelta(t, 1-8100./(107*107), m.GapShare, .01)
	assert.InDelta(t, 17, m.GapWidthPx.P50, .5)
	for _, b := range m.Tiles {
		assert.InDelta(t, 8100, b.AreaPx, 81)
	}
}
