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
	s := Measure(tiles, row(areas...), colormath.Lab{L: l})
	return Reason(aim, &s, nil, ""), s
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

// A shade further down also says what the one above it does better.
func TestReasonNamesTheBetterOne(t *testing.T) {
	tiles, m := greys(20, 21, 60, 61), row(1, 1, 1, 1)
	measure := func(l float64) *Stats { s := Measure(tiles, m, colormath.Lab{L: l}); return &s }
	far, near, mid := measure(95), measure(60), measure(40)

	text := Reason("outline", near, far, "near-white")
	oneSentence(t, text)
	assert.Contains(t, text, "near-white keeps the outline of 50 % more")

	// Under blend an outline lost is no loss; the distance is what counts: in the
	// middle 95 stands (74 + 35)/2, 40 stands 20 away.
	text = Reason("blend", far, mid, "mid-true")
	oneSentence(t, text)
	assert.NotContains(t, text, "keeps the outline")
	assert.Regexp(t, `stands \d+ further from the middle tile than mid-true`, text)
	assert.Regexp(t, `stands \d+ nearer to the middle tile than near-white`, Reason("outline", mid, far, "near-white"))

	assert.Contains(t, Reason("balance", mid, measure(40.5), "mid-cool"), "close to mid-cool")
	assert.NotRegexp(t, "keeps the outline of|further|nearer|close to", Reason("balance", far, nil, ""), "nothing stands above the first")
}
