package segment

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRamp(t *testing.T) {
	assert.Equal(t, 0., ramp(1, 2, 6))
	assert.Equal(t, 0., ramp(2, 2, 6))
	assert.Equal(t, .25, ramp(3, 2, 6))
	assert.Equal(t, 1., ramp(6, 2, 6))
	assert.Equal(t, 1., ramp(9, 2, 6))
}

// Published practice: smalti laid tight 10–15 % gap, small tiles with wide
// joints up to 31 %. Nothing and everything is no panel.
func TestShareThatPanelsHave(t *testing.T) {
	for _, s := range []float64{.1, .15, .2, .31, .45} {
		assert.Equal(t, 1., sharePrior(s), "%v", s)
	}
	assert.Zero(t, sharePrior(0))
	assert.Zero(t, sharePrior(1))
	assert.Less(t, sharePrior(.8), .5)
}

func TestSteadiness(t *testing.T) {
	var even, spread, wild []float64
	for i := range 100 {
		even = append(even, 5)
		spread = append(spread, 4+.02*float64(i)) // 4…6 px
		wild = append(wild, math.Pow(1.08, float64(i)))
	}
	assert.Equal(t, 1., steadiness(even))
	assert.Equal(t, 1., steadiness(spread), "hand-laid joints vary")
	assert.Zero(t, steadiness(wild), "from 1 to 2000 px")
	assert.Zero(t, steadiness(even[:5]), "too few to tell")
	assert.Zero(t, steadiness(nil))
}

// gridTerms looks at a board of 8 × 6 squares, ten of tile and two of joint,
// after the map was spoilt.
func gridTerms(spoil func(ev *evidence)) terms {
	ev := board([3]float32{.5, .5, .5}, [3]float32{.5, .5, .5}, 0, solid(dark))
	spoil(ev)
	return readLayout(ev, Options{Panel: &Quad{{-.5, -.5}, {95.5, -.5}, {95.5, 71.5}, {-.5, 71.5}}}).terms
}

func (t terms) all() []float64 {
	return []float64{t.net, t.count, t.share, t.sure, t.steady, t.own, t.size}
}

func TestEveryTermOfACleanGridIsHigh(t *testing.T) {
	got := gridTerms(func(*evidence) {})
	for i, v := range got.all() {
		assert.GreaterOrEqual(t, v, .95, "term %d", i)
		assert.LessOrEqual(t, v, 1., "term %d", i)
	}
	assert.Equal(t, 1., got.net, "one net of joints")
}

// One fault at a time: its term falls, and the others stay.
func TestEachTermSeesItsFault(t *testing.T) {
	unsure := gridTerms(func(ev *evidence) {
		for i := range ev.tile.v {
			ev.tile.v[i] = .5 + .3*(ev.tile.v[i]-.5)
		}
	})
	assert.Less(t, unsure.sure, .3)
	assert.Equal(t, 1., unsure.net)

	// a bar of tile across the middle joints: the net falls into two halves of
	// equal area
	torn := gridTerms(func(ev *evidence) {
		for i := range ev.tile.v {
			if y := i / ev.w; y >= 34 && y < 36 {
				ev.tile.v[i] = 1
			}
		}
	})
	assert.InDelta(t, .5, torn.net, .1)

	colourless := gridTerms(func(ev *evidence) {
		for i := range ev.lin {
			ev.lin[i] = .5
		}
	})
	assert.Zero(t, colourless.own)
	assert.Equal(t, 1., colourless.net)

	full := gridTerms(func(ev *evidence) {
		for i := range ev.tile.v {
			ev.tile.v[i] = 1
		}
	})
	assert.Zero(t, full.score())
	empty := gridTerms(func(ev *evidence) {
		clear(ev.tile.v)
	})
	assert.Zero(t, empty.score())
}

// Pieces no larger than the way between them are gravel on a table.
func TestSizeTermOfDots(t *testing.T) {
	dots := gridTerms(func(ev *evidence) {
		for i := range ev.tile.v {
			if x, y := i%ev.w%boardCell, i/ev.w%boardCell; x > 3 || y > 3 {
				ev.tile.v[i] = 0
			}
		}
	})
	assert.Zero(t, dots.size)
	assert.Less(t, dots.share, .6)
}

// Two large pieces are no set, whatever else is right.
func TestCountTermOfTwoPieces(t *testing.T) {
	two := gridTerms(func(ev *evidence) {
		for i := range ev.tile.v {
			ev.tile.v[i] = 1
			if x := i % ev.w; x >= 47 && x < 50 {
				ev.tile.v[i] = 0
			}
		}
	})
	assert.Less(t, two.count, .05)
}

func TestScoreIsTheProduct(t *testing.T) {
	s := terms{.5, 1, 1, 1, .5, 1, 1}.score()
	assert.Equal(t, .25, s)
	for i := range 7 {
		v := [7]float64{1, 1, 1, 1, 1, 1, 1}
		v[i] = 0
		assert.Zero(t, terms{v[0], v[1], v[2], v[3], v[4], v[5], v[6]}.score(), "one reason to doubt is enough")
	}
}

func scored(s float64) *evidence { return &evidence{lay: &layout{score: s, tiles: 9}} }

func TestConfidenceRisesWithTheScore(t *testing.T) {
	assert.Zero(t, scored(0).confidence())
	assert.Equal(t, 1., scored(1).confidence())
	assert.InDelta(t, .8, scored(scoreGood).confidence(), .001)
	last := -1.
	for s := 0.; s <= 1; s += 1. / 64 {
		c := scored(s).confidence()
		assert.GreaterOrEqual(t, c, last)
		last = c
	}
}

func TestRefuseBelowTheFloorAndWhenStrict(t *testing.T) {
	likely := (scoreFloor + scoreGood) / 2
	assert.NoError(t, scored(scoreGood).refuse(Options{Strict: true}))
	assert.NoError(t, scored(likely).refuse(Options{}))
	var no *NoGapsError
	require.ErrorAs(t, scored(likely).refuse(Options{Strict: true}), &no)
	assert.Equal(t, scored(likely).confidence(), no.Confidence)
	require.ErrorAs(t, scored(scoreFloor*.99).refuse(Options{}), &no)
	// A person who marks gaps has seen some; but not even that helps a picture of nothing.
	marked := Options{Strokes: []Stroke{{}}}
	assert.NoError(t, scored(scoreFloor*.51).refuse(marked))
	require.ErrorAs(t, scored(scoreFloor*.49).refuse(marked), &no)
	marked.Strict = true
	require.ErrorAs(t, scored(likely).refuse(marked), &no, "no mark makes it sure")
	assert.True(t, strings.HasPrefix(no.Error(), "no reliable gaps found: "))
}

// The weakest term gives the sentence; no two terms share one by accident.
func TestWhyNamesTheWeakestTerm(t *testing.T) {
	said := map[string]bool{}
	for i := range 5 {
		v := [5]float64{1, 1, 1, 1, 1}
		v[i] = .1
		lay := &layout{tiles: 9, terms: terms{net: v[0], count: v[1], share: v[2], sure: v[3], steady: v[4], own: 1, size: 1}}
		why := lay.why()
		assert.False(t, said[why], "%q is said for two reasons", why)
		assert.Greater(t, len(why), 20, "a sentence, not a word")
		assert.NotContains(t, why, ".")
		said[why] = true
	}
	few := &layout{tiles: 2, terms: terms{1, 1, 1, 1, 1, 1, 1}}
	assert.Contains(t, few.why(), "no set of separate pieces")
}
