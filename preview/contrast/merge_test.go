package contrast

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
)

// row is a map of tiles in one row, each facing the next; areas in px².
func row(areas ...float64) *segment.Map {
	m := &segment.Map{Tiles: make([]segment.Tile, len(areas))}
	for i, a := range areas {
		m.Tiles[i].AreaPx = a
		if i > 0 {
			m.Borders = append(m.Borders, segment.Border{A: i, B: i + 1})
		}
	}
	return m
}

// measure holds a shade against a panel of these tiles.
func measure(tiles []colormath.Lab, m *segment.Map, shade colormath.Lab) Stats {
	return NewPanel(m, tiles, nil, 1).Measure(shade)
}

func greys(ls ...float64) []colormath.Lab {
	out := make([]colormath.Lab, len(ls))
	for i, l := range ls {
		out[i].L = l
	}
	return out
}

// A tile has lost its outline when |ΔL*| < 10 and √(Δa*² + Δb*²) < 20; at the
// limits themselves it has not.
func TestOutlineLimits(t *testing.T) {
	for _, c := range []struct {
		tile, shade colormath.Lab
		loses       bool
	}{
		{colormath.Lab{L: 50}, colormath.Lab{L: 50}, true},
		{colormath.Lab{L: 50}, colormath.Lab{L: 59.75}, true},
		{colormath.Lab{L: 50}, colormath.Lab{L: 60}, false},
		{colormath.Lab{L: 60}, colormath.Lab{L: 50}, false},
		{colormath.Lab{L: 50, A: 19.75}, colormath.Lab{L: 50}, true},
		{colormath.Lab{L: 50, A: 20}, colormath.Lab{L: 50}, false},
		{colormath.Lab{L: 50, A: 12, B: 16}, colormath.Lab{L: 50}, false},             // 3-4-5: exactly 20
		{colormath.Lab{L: 50, A: -6, B: -8}, colormath.Lab{L: 50, A: 6, B: 8}, false}, // 20 apart
		{colormath.Lab{L: 50, A: -6, B: -8}, colormath.Lab{L: 50, A: 5.75, B: 8}, true},
		{colormath.Lab{L: 59.75, A: 19.75}, colormath.Lab{L: 50}, true}, // each on its own, never the sum
		{colormath.Lab{L: 90, A: 5}, colormath.Lab{L: 50}, false},
	} {
		s := measure([]colormath.Lab{c.tile}, row(1), c.shade)
		assert.Equal(t, c.loses, s.Tiles[0].Loses, "%v under %v", c.tile, c.shade)
		if c.loses {
			assert.Equal(t, 1.0, s.MergingShare)
		} else {
			assert.Zero(t, s.MergingShare)
		}
		assert.Zero(t, s.Tiles[0].Group, "one tile is no group")
		assert.Zero(t, s.Groups)
	}
}

// ΔL* is shade − tile: positive when the joint is lighter. HyAB of (60, 3, 4)
// and (50, 0, 0) is 10 + 5. CIEDE2000 from the published pairs, row 1: 2.0425
// (Sharma, Wu, Dalal 2005).
func TestDifferences(t *testing.T) {
	s := measure([]colormath.Lab{{L: 60, A: 3, B: 4}, {L: 30}}, row(1, 1), colormath.Lab{L: 50})
	assert.Equal(t, -10.0, s.Tiles[0].DeltaL)
	assert.Equal(t, 15.0, s.Tiles[0].HyAB)
	assert.Equal(t, 20.0, s.Tiles[1].DeltaL)
	assert.Equal(t, 20.0, s.Tiles[1].HyAB)

	s = measure([]colormath.Lab{{L: 50, A: 2.6772, B: -79.7751}}, row(1), colormath.Lab{L: 50, A: 0, B: -82.7485})
	assert.InDelta(t, 2.0425, s.Tiles[0].DE00, 5e-5)
}

// Over eleven tiles of L* 0, 10 … 100 the quantiles are the second, the sixth
// and the tenth (type 7 of Hyndman and Fan); each tile counts once, however
// large it is.
func TestQuantilesCountTiles(t *testing.T) {
	tiles := greys(0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100)
	m := row(1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1000)
	s := measure(tiles, m, colormath.Lab{L: 0})
	assert.Equal(t, colormath.Spread{P10: -90, P50: -50, P90: -10}, s.DeltaL)
	assert.Equal(t, colormath.Spread{P10: 10, P50: 50, P90: 90}, s.HyAB)
	s = measure(tiles, m, colormath.Lab{L: 100})
	assert.Equal(t, colormath.Spread{P10: 10, P50: 50, P90: 90}, s.DeltaL)
}

// A chain of tiles joins by its links: the first and the last are 18 apart, yet
// every neighbour is within 10 of the next.
func TestChainIsOneGroup(t *testing.T) {
	s := measure(greys(46, 52, 58, 64), row(100, 200, 300, 400), colormath.Lab{L: 55})
	for i, c := range s.Tiles {
		assert.True(t, c.Loses, "tile %d", i+1)
		assert.Equal(t, 1, c.Group, "tile %d", i+1)
	}
	assert.Equal(t, 1, s.Groups)
	assert.Equal(t, 1.0, s.LargestShare)
	assert.Equal(t, 1.0, s.MergingShare)
}

// Two lose their outline against the joint and still stand apart: 46 and 64 are
// 18 apart. And a tile that keeps its outline cuts the chain.
func TestNeighboursThatDoNotMerge(t *testing.T) {
	s := measure(greys(46, 64), row(1, 1), colormath.Lab{L: 55})
	assert.True(t, s.Tiles[0].Loses && s.Tiles[1].Loses)
	assert.Zero(t, s.Groups)
	assert.Zero(t, s.LargestShare)
	assert.Equal(t, 1.0, s.MergingShare, "both have lost their outline all the same")

	//                      1   2   3   4   5
	s = measure(greys(50, 51, 80, 50, 51), row(10, 10, 60, 10, 10), colormath.Lab{L: 50})
	groups := make([]int, 5)
	for i, c := range s.Tiles {
		groups[i] = c.Group
	}
	assert.Equal(t, []int{1, 1, 0, 2, 2}, groups)
	assert.Equal(t, 2, s.Groups)
	assert.InDelta(t, .4, s.MergingShare, 1e-12, "40 of 100 px², not 4 of 5 tiles")
	assert.InDelta(t, .2, s.LargestShare, 1e-12)
}

// Tiles that face nobody merge with nobody.
func TestNoBorderNoGroup(t *testing.T) {
	m := row(1, 1)
	m.Borders = nil
	s := measure(greys(50, 50), m, colormath.Lab{L: 50})
	assert.Zero(t, s.Groups)
	assert.Equal(t, 1.0, s.MergingShare)
}

// The groups don't depend on the order in which borders are listed, and are
// numbered by their first tile.
func TestBordersInAnyOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const n = 60
	m, tiles := &segment.Map{Tiles: make([]segment.Tile, n)}, make([]colormath.Lab, n)
	for i := range n {
		m.Tiles[i].AreaPx = 1 + float64(i%7)
		tiles[i].L = 40 + 20*rng.Float64()
		for range 2 {
			if j := rng.IntN(n); j > i {
				m.Borders = append(m.Borders, segment.Border{A: i + 1, B: j + 1})
			}
		}
	}
	want := measure(tiles, m, colormath.Lab{L: 50})
	require.Greater(t, want.Groups, 1)
	next := 1
	for _, c := range want.Tiles {
		require.LessOrEqual(t, c.Group, next)
		next = max(next, c.Group+1)
	}
	for range 20 {
		rng.Shuffle(len(m.Borders), func(i, j int) { m.Borders[i], m.Borders[j] = m.Borders[j], m.Borders[i] })
		assert.Equal(t, want, measure(tiles, m, colormath.Lab{L: 50}))
	}
}

// The forest against a plain flood through the links.
func TestUnionAgainstFlood(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		const n = 30
		u, links := newUnion(n), [n][]int{}
		for range rng.IntN(40) {
			i, j := rng.IntN(n), rng.IntN(n)
			u.join(i, j)
			links[i], links[j] = append(links[i], j), append(links[j], i)
		}
		for start := range n {
			seen, todo := []int{start}, []int{start}
			for len(todo) > 0 {
				i := todo[0]
				todo = todo[1:]
				for _, j := range links[i] {
					if !slices.Contains(seen, j) {
						seen, todo = append(seen, j), append(todo, j)
					}
				}
			}
			for j := range n {
				assert.Equal(t, slices.Contains(seen, j), u.find(start) == u.find(j))
			}
			assert.Equal(t, slices.Min(seen), u.find(start), "the smallest number is the root")
		}
	}
}

// Nothing to measure is no crash and no share.
func TestNoTiles(t *testing.T) {
	p := NewPanel(&segment.Map{}, nil, nil, 1)
	s := p.Measure(colormath.Lab{L: 50})
	assert.Zero(t, s.MergingShare)
	assert.Zero(t, s.Groups)
	assert.Empty(t, s.Tiles)
	assert.Zero(t, p.Terms("balance", colormath.Lab{L: 50}))
	assert.Empty(t, p.Clusters)
	assert.Equal(t, -1, p.Worst("balance", &s).Cluster)
	assert.Empty(t, p.From(t.Context(), []float64{1}, 1, 1))
}

// Distinct pieces: every group counts once, as does every tile in none. By hand:
// 1 and 2 join, 3 keeps its outline, 4 and 5 join, 6 loses its outline alone.
func TestPieces(t *testing.T) {
	m := row(10, 10, 60, 10, 10, 10)
	m.Borders = m.Borders[:4] // 6 faces nobody
	s := measure(greys(50, 51, 80, 50, 51, 50), m, colormath.Lab{L: 50})
	assert.Equal(t, 2, s.Groups)
	assert.Equal(t, 4, s.Pieces)
	s = measure(greys(50, 51, 80, 50, 51, 50), m, colormath.Lab{L: 95})
	assert.Equal(t, 6, s.Pieces, "all of them")
}

// A tile that glare has burnt out counts nowhere: not in the spreads, not in the
// shares, not as a link between its neighbours.
func TestBurntTilesCountNowhere(t *testing.T) {
	m, burnt := row(10, 10, 10, 70), []bool{false, true, false, false}
	s := NewPanel(m, greys(50, 50, 50, 90), burnt, 1).Measure(colormath.Lab{L: 50})
	assert.True(t, s.Tiles[0].Loses && s.Tiles[2].Loses)
	assert.False(t, s.Tiles[1].Loses)
	assert.Zero(t, s.Groups, "1 and 3 face only 2")
	assert.InDelta(t, 20./90, s.MergingShare, 1e-12)
	assert.Equal(t, 40.0, NewPanel(row(1, 1), greys(10, 90), []bool{true, false}, 1).Measure(colormath.Lab{L: 50}).HyAB.P10)

	p := NewPanel(m, greys(50, 50, 50, 90), []bool{true, true, true, true}, 1)
	assert.Zero(t, p.BurntTiles(), "some answer is wanted")
	assert.InDelta(t, .3, p.Measure(colormath.Lab{L: 50}).MergingShare, 1e-12)
}
