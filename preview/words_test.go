package preview

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestHeading(t *testing.T) {
	assert.Equal(t, "lemons", Heading(" ", "lemons.jpg"))
	assert.Equal(t, "a.b", Heading("", "folder/a.b.HEIC"))
	assert.Equal(t, "Lemons for Anna", Heading("  Lemons for Anna  ", "lemons.jpg"))
}

func TestPercentNeverHidesALittle(t *testing.T) {
	for share, want := range map[float64]string{0: "0 %", .0001: "under 1 %", .0004: "under 1 %", .01: "1 %", .126: "13 %", .995: "over 99 %", .9999: "over 99 %", 1: "100 %"} {
		assert.Equal(t, want, Percent(share))
	}
	assert.Equal(t, "1 tile", Count(1, "tile"))
	assert.Equal(t, "0 tiles", Count(0, "tile"))
	assert.Equal(t, "12,034 tiles", Count(12034, "tile"))
	assert.Equal(t, "1,234,567", Thousands(1234567))
	assert.Equal(t, "1,000,005", Thousands(1000005))
}

// Which side the joint is on is only claimed when nine tiles in ten agree.
func TestSide(t *testing.T) {
	assert.Equal(t, "lighter than the tiles", Side(1, 30))
	assert.Equal(t, "darker than the tiles", Side(-30, -1))
	assert.Equal(t, "between light and dark tiles", Side(-1, 30))
	assert.Equal(t, "between light and dark tiles", Side(0, 0))
}

// Every aim has its own words.
func TestAimWords(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range []Aim{Outline, Balance, Blend} {
		seen[a.Words()] = true
	}
	assert.Len(t, seen, 3)
}

// Lines fit, the second begins under the text, and a number stays with its unit
// though the terminal gets a plain blank.
func TestParagraph(t *testing.T) {
	assert.Equal(t, "note: short\n", Paragraph("note: ", "short"))
	assert.Equal(t, "note:\n", Paragraph("note: ", ""))
	text := strings.Repeat("word ", 14) + "2.5\u00a0mm\r\nwide " + strings.Repeat("x", 90)
	lines := strings.Split(strings.TrimSuffix(Paragraph("note: ", text), "\n"), "\n")
	assert.Equal(t, []string{"note: " + strings.TrimSpace(strings.Repeat("word ", 14)), "      2.5 mm wide", "      " + strings.Repeat("x", 90)}, lines)
	assert.Equal(t, TextWidth, utf8.RuneCountInString(strings.TrimSuffix(Paragraph("", strings.Repeat("é", 39)+" "+strings.Repeat("é", 40)), "\n")))
}

func TestClean(t *testing.T) {
	assert.Equal(t, "?[31m?a?b", Clean("\x1b[31m\u202ea\nb"))
}
