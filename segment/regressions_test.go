package segment

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Once: painted chequers of two hues are taken for layouts with confidence 1.
// own measures against a straight line in encoded sRGB, but light mixes linearly,
// and that path bows away from the line by more than ownFloor.
func TestRegressionOwnOfAColouredChequer(t *testing.T) {
	for _, p := range [][2][3]float32{
		{{.04, .04, .17}, {.65, .66, .04}},
		{{.6, .1, .1}, {.1, .1, .5}},
		{{.04, .58, .19}, {.64, .04, .41}},
	} {
		assert.Less(t, ownOf(board(p[0], p[1], 0, mixed)), .05)
	}
}

func TestRegressionColouredChequerAccepted(t *testing.T) {
	f := realFinder(t)
	for _, p := range [][2][3]float64{
		{{.04, .04, .17}, {.65, .66, .04}}, // navy and yellow
		{{.04, .06, .17}, {.46, .56, .04}},
		{{.04, .58, .19}, {.64, .04, .41}}, // green and pink
	} {
		_, err := f.Find(context.Background(), chequer(p[0], p[1]), Options{})
		assert.ErrorAs(t, err, new(*NoGapsError), "%v", p)
	}
}

// Once: gravel scores .12 to .31, the floor is .15.
func TestRegressionGravelAccepted(t *testing.T) {
	f := realFinder(t)
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 24))
		pic := painted(refusedW, refusedH, func(int, int) (r, g, b float64) { return .04, .035, .03 })
		big, small := 6+20*rng.Float64(), 2+4*rng.Float64()
		for range int(4000 * 100 / (big * small)) {
			cx, cy := rng.Float64()*refusedW, rng.Float64()*refusedH
			r := small + big*rng.Float64()*rng.Float64()
			squash, turn := .55+.45*rng.Float64(), math.Pi*rng.Float64()
			shade, warm := .08+.5*rng.Float64()*rng.Float64(), .8+.2*rng.Float64()
			stone(pic, cx, cy, r, squash, turn, [3]float64{shade, shade * (warm + 1) / 2, shade * warm})
		}
		_, err := f.Find(context.Background(), noise(pic, .04), Options{})
		assert.ErrorAs(t, err, new(*NoGapsError), "seed %d", seed)
	}
}

// Once: tiles that meet corner to corner at a crossing count as a border
// when the pixels fall that way (Length 1, WidthPx 8.5 for joints of 5).
func TestRegressionDiagonalBorders(t *testing.T) {
	atEveryOffset(t, func(t *testing.T, g grid) {
		m := g.find(t, Options{Panel: g.panel(2.3)})
		assert.Len(t, m.Borders, 17)
	})
}

// Once: spans takes both ends of a row but only the first of the rows when an
// outline runs through pixel centres. The whole picture loses its last row;
// panels side by side share a column.
func TestRegressionWholePictureLosesItsLastRow(t *testing.T) {
	lay := &layout{}
	lay.takeAll(5, 4)
	for i, in := range lay.panel {
		assert.True(t, in, "pixel %d, %d", i%5, i/5)
	}
}

func TestRegressionNeighboursShareAColumn(t *testing.T) {
	n := 0
	for _, q := range []Quad{{{0, 0}, {3, 0}, {3, 4}, {0, 4}}, {{3, 0}, {6, 0}, {6, 4}, {3, 4}}} {
		for _, s := range q.Spans(8, 8) {
			if s.X0 <= 3 && 3 < s.X1 && s.Y == 2 {
				n++
			}
		}
	}
	assert.Equal(t, 1, n)
}

// Once: why never looks at own and size, so a painted chequer (own 0, all else
// 1) is told "no set of separate pieces stands out from a bed".
func TestRegressionWhyForgetsTerms(t *testing.T) {
	count := (&layout{tiles: 9, terms: terms{1, .1, 1, 1, 1, 1, 1}}).why()
	assert.NotEqual(t, count, (&layout{tiles: 9, terms: terms{1, 1, 1, 1, 1, 0, 1}}).why(), "own")
	assert.NotEqual(t, count, (&layout{tiles: 9, terms: terms{1, 1, 1, 1, 1, 1, 0}}).why(), "size")
}

// Once: Tile.AreaPx misses the tile's share of edge pixels that are mostly gap:
// low by about .1 px per edge on average, .5 px at worst (20 × 20 px: 380.6),
// while GapShare is right; so Σ AreaPx + gap area falls short of the panel.
func TestRegressionTileAreasFallShort(t *testing.T) {
	sum, n := 0., 0.
	for k := range 16 {
		g := twelve(30+float64(k%4)/4, 24+float64(k/4)/4)
		m := g.find(t, Options{Panel: g.panel(2.3)})
		for _, b := range m.Tiles {
			sum += b.AreaPx
			n++
		}
		gap, tiles := m.GapShare*m.PanelPx, 0.
		for _, b := range m.Tiles {
			tiles += b.AreaPx
		}
		assert.InDelta(t, m.PanelPx, gap+tiles, .005*m.PanelPx)
	}
	assert.InDelta(t, 400, sum/n, 2)
}

// Once: contour ends at the first return to its start, and starts at the first
// part, not the largest as its comment says.
func TestRegressionContourStopsAtATip(t *testing.T) {
	pts := walk(t, `
		...#...
		..#.#..
		.#...#.
		#.....#`)
	assert.Contains(t, pts, Point{0, 3}, "the left leg")
	assert.Contains(t, pts, Point{6, 3}, "the right leg")
}

func TestRegressionContourOfTheLargestPart(t *testing.T) {
	assert.Greater(t, len(walk(t, `
		#.....
		......
		..####
		..####
		..####`)), 4)
}

// Once: with more than 65,535 pieces of one size all of them go, not the
// surplus.
func TestRegressionNumberedTies(t *testing.T) {
	size, keep := make([]int, 70001), make([]bool, 70001)
	for i := range size {
		size[i], keep[i] = 100, i > 0
	}
	dropSmallest(keep, size, 70000-maxTiles)
	assert.Equal(t, maxTiles, count(keep))
	assert.True(t, keep[maxTiles], "of equals the last go")
	assert.False(t, keep[maxTiles+1])
}
