package contrast

import (
	"math"
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
	p := NewPanel(row(areas...), tiles, nil, 1)
	out := make([]float64, len(ls))
	for i, l := range ls {
		out[i] = math.Round(10*p.Terms(aim, colormath.Lab{L: l}).Score(aim)) / 10
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
	// No tile is seen; all there is to like is that no grid is drawn and nothing
	// turns lighter or darker.
	assert.InDelta(t, 100*(Weights("balance").QuietGrid+Weights("balance").Steady), scores("balance", tiles, areas, []float64{21})[0], 1e-9)
	assert.Greater(t, scores("balance", tiles, areas, []float64{40})[0], 95.0, "clear on all of them")
}

// One tile that goes under costs more than its share of the area: the cluster
// that fares worst counts by itself, if it is one tile in ten; one tile in two
// hundred is no cluster to choose a grout by.
func TestWorstClusterCounts(t *testing.T) {
	outline := func(n int) float64 {
		tiles, areas := make([]colormath.Lab, n), make([]float64, n)
		for i := range tiles {
			tiles[i].L, areas[i] = 20, 1
		}
		tiles[n-1].L = 90
		return scores("outline", tiles, areas, []float64{90})[0]
	}
	w := Weights("outline")
	assert.InDelta(t, 100*(.9*w.Tiles+.9*w.Outlines), outline(10), .051)
	assert.Greater(t, outline(200), 99.0)
}

// The terms by hand. Two clusters: L* 20 on 3 of 4 px², L* 90 on 1; a joint of L*
// 60 stands 40 and 30 away. Outline wants (HyAB − 5)/35, at most 1: 1 and 25/35.
func TestTermsByHand(t *testing.T) {
	p := NewPanel(row(3, 1), greys(20, 90), nil, 1)
	got := p.Terms("outline", colormath.Lab{L: 60})
	assert.InDelta(t, 100*(.75+.25*25/35), got.Tiles, 1e-9)
	assert.InDelta(t, 100*25./35, got.WorstCluster, 1e-9)
	assert.Equal(t, 100.0, got.Outlines)
	assert.Equal(t, 100.0, got.QuietGrid, "a row of borders has no place, so no line")
	assert.Equal(t, 100.0, got.Steady, "no gap, no shift")
	s := p.Measure(colormath.Lab{L: 60})
	w := p.Worst("outline", &s)
	assert.Equal(t, Worst{Cluster: 1, HyAB: 30}, w)
	assert.Equal(t, ClusterContrast{DeltaL: -30, HyAB: 30}, p.Against(1, &s))

	// Blend wants 1 − (HyAB − 4)/31: the near cluster is not the worst one now.
	assert.InDelta(t, 0, p.Terms("blend", colormath.Lab{L: 60}).WorstCluster, 1e-9)
	assert.Equal(t, 0, p.Worst("blend", &s).Cluster)
}

// Every aim's weights add up to 1, and no other aim has any.
func TestWeights(t *testing.T) {
	for _, aim := range aims {
		w := Weights(aim)
		assert.InDelta(t, 1, w.Tiles+w.WorstCluster+w.Outlines+w.QuietGrid+w.Steady, 1e-12, aim)
		assert.InDelta(t, 100, Terms{100, 100, 100, 100, 100}.Score(aim), 1e-9)
	}
	assert.Zero(t, Weights("pretty"))
}

// Far away tiles and joints come to their mean light. Oracle: the area-weighted
// mean by hand, tile L* 60, joint L* 25, gap 15 % of the panel → 56.7; joint L*
// 93 → 66.8.
func TestAfar(t *testing.T) {
	m := row(1)
	m.GapShare = .15
	p := NewPanel(m, greys(60), nil, 1)
	assert.InDelta(t, 56.7, p.Afar(colormath.Lab{L: 25}).L, .05)
	assert.InDelta(t, 66.8, p.Afar(colormath.Lab{L: 93}).L, .05)
	assert.InDelta(t, 56.7-60, p.Shift(colormath.Lab{L: 25}), .05)
	// 10 mm tiles with 2 mm joints, 30.6 %: L* 50 reads as 64.3 with L* 85.3.
	m.GapShare = 1 - 100./144
	p = NewPanel(m, greys(50), nil, 1)
	assert.InDelta(t, 64.3, p.Afar(colormath.Lab{L: 85.3}).L, .05)
	assert.InDelta(t, 46.3, p.Afar(colormath.Lab{L: 35.6}).L, .05)
	assert.Zero(t, p.Terms("balance", colormath.Lab{L: 95}).Steady, "the whole panel turns 19 lighter")
}

// A pitch of 21 mm turns from outline to tint at 4.81 m (4 cycles per degree:
// 21 · 4/17.453).
func TestTintFrom(t *testing.T) {
	assert.InDelta(t, 4.81, TintFrom(21), .005)
	assert.InDelta(t, 1, TintFrom(4.36), .005)
	m := row(1, 1, 1, 1)
	m.PanelPx = 400
	assert.Equal(t, 10.0, NewPanel(m, greys(1, 2, 3, 4), nil, 1).PitchPx())
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

// A dark teal tile and a dark grey joint: HyAB 18 is clear by its word, but the
// outline is lost (1 of lightness, 17 of colour), so that tile fares worst and meets
// nothing; the yellow one beside it is graphic. For blend the same is no loss.
func TestLostOutlineMeetsNothing(t *testing.T) {
	teal, yellow := colormath.Lab{L: 34, A: -12, B: -12}, colormath.Lab{L: 77, A: 7, B: 62}
	p := NewPanel(row(1, 1), []colormath.Lab{teal, yellow}, nil, 1)
	joint := colormath.Lab{L: 35}
	for _, aim := range []string{"outline", "balance"} {
		got := p.Terms(aim, joint)
		assert.Zero(t, got.WorstCluster, aim)
		assert.InDelta(t, 50*wish(aim, colormath.HyAB(joint, yellow)), got.Tiles, 1e-9, aim)
		s := p.Measure(joint)
		w := p.Worst(aim, &s)
		assert.Equal(t, "dark teal", p.Clusters[w.Cluster].Name, aim)
		assert.Equal(t, 1, w.Loses)
		assert.Contains(t, p.Reason(aim, &s, got, nil), "hold least (HyAB 18, all without outline)")
	}
	s := p.Measure(joint)
	assert.Equal(t, "yellow", p.Clusters[p.Worst("blend", &s).Cluster].Name)
	assert.Greater(t, p.Terms("blend", joint).Tiles, 25.0)
}
