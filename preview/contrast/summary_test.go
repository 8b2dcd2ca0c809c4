package contrast

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
)

// The words and their limits: below 5, 12, to 30, above.
func TestWord(t *testing.T) {
	for v, want := range map[float64]string{0: "melts in", 4.99: "melts in", 5: "soft", 11.99: "soft", 12: "clear", 30: "clear", 30.01: "graphic", 150: "graphic"} {
		assert.Equal(t, want, Word(v), "%g", v)
	}
}

// say measures and gives the reason of a first choice.
func say(aim string, tiles []colormath.Lab, areas []float64, l float64) (string, Stats) {
	p := NewPanel(row(areas...), tiles, nil, 1)
	s := p.Measure(colormath.Lab{L: l})
	return p.Reason(aim, &s, p.Terms(aim, colormath.Lab{L: l}), nil), s
}

// One plain sentence: a capital, a full stop at the end and none before, no
// number that is not a number.
func oneSentence(t *testing.T, text string) {
	t.Helper()
	assert.Regexp(t, `^[A-Z].*[^.]\.$`, text)
	assert.Equal(t, 0, strings.Count(strings.TrimSuffix(text, "."), ". "), text)
	assert.NotRegexp(t, `NaN|Inf|%!|\n|  `, text)
}

func TestReasonSaysWhatItMust(t *testing.T) {
	ones := []float64{1, 1, 1, 1}
	for _, c := range []struct {
		name  string
		tiles []colormath.Lab
		areas []float64
		l     float64
		say   []string
	}{
		{"lighter, far off", greys(20, 21, 22, 23), ones, 90, []string{"Lighter than every tile", "graphic", "every tile keeps its outline"}},
		{"darker, near", greys(60, 61, 62, 63), ones, 59, []string{"Darker than every tile", "hardly seen", "100 % of the tile area loses its outline", "one group of 100 % reads as a single tile"}},
		{"half and half", greys(30, 31, 80, 81), ones, 55, []string{"50 % of the tiles", "clear"}},
		{"three lighter", greys(30, 31, 32, 81), ones, 55, []string{"Lighter than 75 % of the tiles"}},
		{"from soft to graphic", greys(50, 51, 90, 91), []float64{30, 30, 20, 20}, 56, []string{"from soft to graphic", "60 % of the tile area loses its outline"}},
		{"two groups", greys(50, 50, 90, 50, 50, 50), []float64{1, 1, 4, 1, 1, 2}, 50, []string{"60 % of the tile area", "2 groups merge, the largest 40 %"}},
		{"a trace", greys(50, 90, 90, 90), []float64{4, 100, 100, 196}, 50, []string{"1.0 % of the tile area loses its outline"}},
	} {
		for _, aim := range aims {
			text, _ := say(aim, c.tiles, c.areas, c.l)
			oneSentence(t, text)
			for _, want := range c.say {
				assert.Contains(t, text, want, c.name)
			}
		}
	}
}

// Where there is more than one colour, the cluster that fares worst is named,
// with its place and what becomes of it.
func TestReasonNamesTheWorstCluster(t *testing.T) {
	ones := []float64{1, 1, 1, 1}
	text, _ := say("outline", greys(20, 21, 22, 60), ones, 61)
	oneSentence(t, text)
	assert.Contains(t, text, "the one mid grey tile")
	assert.Contains(t, text, "hold least (HyAB 1, all without outline)")
	text, _ = say("blend", greys(20, 21, 22, 60), ones, 61)
	assert.Contains(t, text, "the 3 black tiles")
	assert.Contains(t, text, "stand out most (HyAB 40)")
	text, _ = say("balance", greys(20, 21, 22, 23), ones, 61)
	assert.NotContains(t, text, "tiles in", "one colour needs no name")
}

// A shade further down also says in which term the one above it gains most.
func TestReasonNamesTheBetterOne(t *testing.T) {
	p := NewPanel(row(1, 1, 1, 1), greys(20, 21, 60, 61), nil, 1)
	say := func(aim string, l float64, better *Rival) string {
		s := p.Measure(colormath.Lab{L: l})
		text := p.Reason(aim, &s, p.Terms(aim, colormath.Lab{L: l}), better)
		oneSentence(t, text)
		return text
	}
	rival := func(aim, id string, l float64) *Rival {
		return &Rival{ID: id, Terms: p.Terms(aim, colormath.Lab{L: l})}
	}
	assert.Contains(t, say("outline", 60, rival("outline", "near-white", 95)), "near-white does more for the tiles that fare worst")
	assert.Contains(t, say("blend", 95, rival("blend", "mid-true", 40)), "; mid-true suits the tiles better on the whole.")

	plain := Terms{50, 50, 50, 50, 50}
	for want, better := range map[string]Terms{
		"x suits the tiles better on the whole":     {70, 50, 50, 50, 50},
		"x does more for the tiles that fare worst": {50, 70, 50, 50, 50},
		"x keeps the outline of 20 % more":          {50, 50, 70, 50, 50},
		"x draws less of a grid":                    {50, 50, 50, 70, 50},
		"x changes the lightness of the whole less": {50, 50, 50, 50, 70},
	} {
		assert.Equal(t, want, behind("balance", plain, &Rival{ID: "x", Terms: better}))
	}
	assert.Equal(t, "too close to x to call", behind("balance", plain, &Rival{ID: "x", Terms: Terms{90, 90, 90, 90, 90}, Close: true}))
	assert.NotRegexp(t, "x |close to|suits|does more", say("balance", 95, nil), "nothing stands above the first")
}
