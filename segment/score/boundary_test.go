package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// By eye: tile pixels that touch the gap, corners included; the picture's edge
// is no boundary.
func TestEdgeIsTheRimOfTheTiles(t *testing.T) {
	w, h, gap := gapOf(t, `
		aaaa.bbbb
		aaaa.bbbb
		.........
		cccc.dddd
		cccc.dddd
		cccc.dddd`)
	assert.Equal(t, unindented(`
		...#.#...
		####.####
		.........
		####.####
		...#.#...
		...#.#...`), shown(w, Edge(w, h, nil, gap)))
}

// By eye: a panel without its outermost column. Pixels less than two away from
// what isn't panel stay out.
func TestEdgeKeepsAwayFromThePanelsEdge(t *testing.T) {
	w, h, gap := gapOf(t, `
		aaaa.bbbb
		aaaa.bbbb
		.........
		cccc.dddd
		cccc.dddd`)
	panel := make([]bool, w*h)
	for i := range panel {
		panel[i] = i%w > 0
	}
	assert.Equal(t, unindented(`
		...#.#...
		...#.####
		.........
		...#.####
		...#.#...`), shown(w, Edge(w, h, panel, gap)))
}

// By hand, tolerance 2: the joint is found three pixels to the right, so of its
// two edges one lies within reach of a true one.
func TestBoundaryF1CountsBothWays(t *testing.T) {
	w, h, truth := gapOf(t, `
		aaa..aaaaaaa
		aaa..aaaaaaa`)
	_, _, found := gapOf(t, `
		aaaaaa..aaaa
		aaaaaa..aaaa`)
	// true edges at x 2 and 5, found ones at 5 and 8: 5 meets 5; 8 is 3 from 5; 2 is 3 from 5
	assert.Equal(t, .5, BoundaryF1(w, h, nil, truth, found, 2))
	assert.Equal(t, 1., BoundaryF1(w, h, nil, truth, found, 3))
	assert.Equal(t, .5, BoundaryF1(w, h, nil, truth, found, 0))
}

// By hand: precision and recall differ. Two true joints, one found in place:
// precision 1, recall 1/2, F1 2/3, and the same the other way round.
func TestBoundaryF1IsTheHarmonicMean(t *testing.T) {
	w, h, two := gapOf(t, `
		aaaa..aaaaaaa..aaaa`)
	_, _, one := gapOf(t, `
		aaaa..aaaaaaaaaaaaa`)
	assert.InDelta(t, 2./3, BoundaryF1(w, h, nil, two, one, 2), 1e-15)
	assert.InDelta(t, 2./3, BoundaryF1(w, h, nil, one, two, 2), 1e-15)
}

// A pixel at (1, 1) from the edge is 1.41 away, one at (2, 1) 2.24.
func TestToleranceIsRound(t *testing.T) {
	mask := make([]bool, 49)
	mask[3*7+3] = true
	assert.Equal(t, unindented(`
		.......
		...#...
		..###..
		.#####.
		..###..
		...#...
		.......`), shown(7, grown(7, 7, mask, 2)))
}

func TestBoundaryF1WithoutEdges(t *testing.T) {
	none, some := make([]bool, 25), make([]bool, 25)
	some[12] = true
	assert.Equal(t, 1., BoundaryF1(5, 5, nil, none, none, 2))
	assert.Zero(t, BoundaryF1(5, 5, nil, none, some, 2))
	assert.Zero(t, BoundaryF1(5, 5, nil, some, none, 2))
}
