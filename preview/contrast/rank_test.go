package contrast

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
)

var aims = []string{"outline", "balance", "blend"}

// eleven is the lightness of the built-in shades, light to dark.
var eleven = []float64{90.18, 85.345, 61.046, 35.554, 25.26}

// scores rates greys of these lightnesses for an aim.
func scores(aim string, tiles []colormath.Lab, areas []float64, ls []float64) []float64 {
	m := row(areas...)
	out := make([]float64, len(ls))
	for i, l := range ls {
		s := Measure(tiles, m, colormath.Lab{L: l})
		out[i] = Score(aim, &s, areas)
	}
	return out
}

func best(v []float64) int { return slices.Index(v, slices.Max(v)) }

// White tiles, an obvious set: outline wants a dark joint (from HyAB 40 on there
// is nothing more to wish for, so the dark ones are equals), blend the lightest,
// and balance neither.
func TestAimsOnWhiteTiles(t *testing.T) {
	tiles, areas := greys(92, 91, 93, 92, 90), []float64{1, 1, 1, 1, 1}
	assert.Equal(t, 35.554, eleven[best(scores("outline", tiles, areas, eleven))])
	assert.Equal(t, 0, best(scores("blend", tiles, areas, eleven)))
	b := best(scores("balance", tiles, areas, eleven))
	assert.Equal(t, 61.046, eleven[b], "of these the mid grey is seen without being graphic")

	// For blend, the further the worse; for outline, never the worse.
	v := scores("blend", tiles, areas, eleven)
	assert.True(t, slices.IsSortedFunc(v, func(a, b float64) int { return int(10 * (b - a)) }), "%v", v)
	v = scores("outline", tiles, areas, eleven)
	assert.True(t, slices.IsSorted(v), "%v", v)
}

// Black tiles, the mirror image.
func TestAimsOnBlackTiles(t *testing.T) {
	tiles, areas := greys(22, 24, 23), []float64{2, 1, 1}
	assert.Equal(t, 0, best(scores("outline", tiles, areas, eleven)))
	assert.Equal(t, len(eleven)-1, best(scores("blend", tiles, areas, eleven)))
}

// A strong colour keeps its outline at equal lightness: blend does not love it.
func TestColourIsNoBlend(t *testing.T) {
	grey := scores("blend", greys(61), []float64{1}, []float64{61})
	red := scores("blend", []colormath.Lab{{L: 61, A: 50, B: 30}}, []float64{1}, []float64{61})
	assert.Equal(t, 100.0, grey[0])
	assert.Less(t, red[0], 20.0)
}

// What the ends of the scale mean: nothing to wish for, and nothing achieved.
func TestScoreEnds(t *testing.T) {
	tiles, areas := greys(20, 21, 22, 20), []float64{1, 2, 3, 4}
	assert.Equal(t, 100.0, scores("outline", tiles, areas, []float64{95})[0])
	assert.Zero(t, scores("outline", tiles, areas, []float64{21})[0])
	assert.Equal(t, 100.0, scores("blend", tiles, areas, []float64{21})[0])
	assert.Zero(t, scores("blend", tiles, areas, []float64{95})[0])
	assert.Zero(t, scores("balance", tiles, areas, []float64{21})[0])
	assert.Greater(t, scores("balance", tiles, areas, []float64{40})[0], 95.0, "clear on all of them")
}

// One tile that goes under costs more than its share of the area: the worst
// tenth counts by itself.
func TestWorstTenthCounts(t *testing.T) {
	areas := []float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}
	all := scores("outline", greys(20, 20, 20, 20, 20, 20, 20, 20, 20, 20), areas, []float64{90})[0]
	one := scores("outline", greys(20, 20, 20, 20, 20, 20, 20, 20, 20, 90), areas, []float64{90})[0]
	assert.Equal(t, 100.0, all)
	assert.Less(t, one, 80.0)

	// The tenth is of the area, to the fraction of a tile: of wishes 0, 0.5 and 1
	// on areas 1, 1 and 18 it holds the first wholly and the second wholly.
	assert.InDelta(t, .25, worstTenth([]float64{1, 0, .5}, []float64{18, 1, 1}, 20), 1e-12)
	assert.InDelta(t, .5, worstTenth([]float64{0, 1}, []float64{1, 19}, 20), 1e-12)
	assert.InDelta(t, .75, worstTenth([]float64{.75}, []float64{3}, 3), 1e-12)
}

// 0…100 whatever comes, one decimal, and the same in any order of the tiles.
func TestScoreHoldsForAnyTiles(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		n := 1 + rng.IntN(40)
		tiles, areas := make([]colormath.Lab, n), make([]float64, n)
		for i := range tiles {
			tiles[i] = colormath.Lab{L: 100 * rng.Float64(), A: 80 * rng.NormFloat64(), B: 80 * rng.NormFloat64()}
			areas[i] = float64(1 + rng.IntN(900))
		}
		order := rng.Perm(n)
		mixed, mixedAreas := make([]colormath.Lab, n), make([]float64, n)
		for i, j := range order {
			mixed[i], mixedAreas[i] = tiles[j], areas[j]
		}
		for _, aim := range aims {
			ls := []float64{0, 35.554, 61.046, 100}
			a, b := scores(aim, tiles, areas, ls), scores(aim, mixed, mixedAreas, ls)
			for i := range a {
				assert.GreaterOrEqual(t, a[i], 0.0)
				assert.LessOrEqual(t, a[i], 100.0)
				// One in the last decimal: sums in another order may round the
				// other way.
				assert.InDelta(t, a[i], b[i], .1001, "%s", aim)
			}
		}
	}
}

// Nothing but the tiles' areas and colours counts: twice as large is the same.
func TestScoreHasNoUnit(t *testing.T) {
	tiles := greys(20, 45, 70, 90)
	for _, aim := range aims {
		assert.Equal(t, scores(aim, tiles, []float64{1, 2, 3, 4}, eleven), scores(aim, tiles, []float64{64, 128, 192, 256}, eleven))
	}
}
