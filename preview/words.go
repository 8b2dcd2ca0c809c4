package preview

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The words that the sheet and the report share.

// Words says what the person wants.
func (a Aim) Words() string {
	switch a {
	case Outline:
		return "every tile stands out"
	case Blend:
		return "the joint disappears"
	}
	return "the joint is seen, the picture leads"
}

// Side says which way the joint goes, from the 10th and 90th percentile of L*
// of the joint less that of the tile: it is only claimed when nine tiles in ten
// agree.
func Side(p10, p90 float64) string {
	switch {
	case p10 > 0:
		return "lighter than the tiles"
	case p90 < 0:
		return "darker than the tiles"
	}
	return "between light and dark tiles"
}

// Percent rounds a share, 0…1, so that little is not called nothing, and almost
// all not all.
func Percent(share float64) string {
	switch v := 100 * share; {
	case v > 0 && v < 1:
		return "under 1 %"
	case v > 99 && v < 100:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", math.Round(v))
	}
}

// Count counts things of one noun: "1 tile", "1,800 tiles".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return Thousands(n) + " " + noun + "s"
}

// Thousands groups digits with a comma: 1800 is "1,800".
func Thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s,%03d", Thousands(n/1000), n%1000)
}

// ShadeName is a shade's id in plain words: "mid-warm" is "mid warm".
func ShadeName(id string) string { return strings.ReplaceAll(id, "-", " ") }

// Heading is the title the person gave, else the photo's name.
func Heading(title, photo string) string {
	if s := strings.TrimSpace(title); s != "" {
		return s
	}
	base := filepath.Base(photo)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// TextWidth is the widest line that is printed for a terminal, in characters.
const TextWidth = 80

// nbsp keeps a number and its unit on one line; a terminal gets a plain blank.
const nbsp = '\u00a0'

// Paragraph breaks text at blanks, but not at those that don't break, so that no
// line is wider than TextWidth, and indents what follows the lead as far as the
// lead reaches. A line end closes it.
func Paragraph(lead, text string) string {
	var b strings.Builder
	line, indent := lead, strings.Repeat(" ", utf8.RuneCountInString(lead))
	first := true
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return unicode.IsSpace(r) && r != nbsp }) {
		if !first && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > TextWidth {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, first = indent, true
		}
		if !first {
			line += " "
		}
		line, first = line+word, false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return strings.ReplaceAll(b.String(), string(nbsp), " ")
}

// Clean takes control and invisible formatting characters out of names, so that
// a file name cannot steer the terminal.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return '?'
		}
		return r
	}, s)
}
