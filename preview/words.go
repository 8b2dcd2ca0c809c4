package preview

import (
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

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
