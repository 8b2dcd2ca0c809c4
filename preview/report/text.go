package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Rules of the table: result only, so that it can be piped; no colour and no
// lines drawn with odd characters; shades under the ids that --shades takes.

// textWidth is the widest line of the table, in characters.
const textWidth = 80

// Text writes the result for a terminal: what was found, the shades best
// first, why the best is the best, the notes, and where the files are when
// folder is not empty. Plain characters, no colour, lines up to 80 wide except
// for a long folder name.
func Text(w io.Writer, r Report, folder string) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n", cut(clean(r.Photo.Name)+": "+found(&r), textWidth))
	table(&b, r.Shades)
	if len(r.Shades) > 0 {
		best := &r.Shades[0]
		fmt.Fprintf(&b, "\nfirst choice: %s\n", best.ID)
		paragraph(&b, "  ", best.Reason)
	}
	if r.View != nil {
		paragraph(&b, "  ", fmt.Sprintf("From about %.1f m on the joints tint the panel rather than outline the tiles.", r.View.TintFromM))
	}
	if len(r.Notes) > 0 {
		fmt.Fprintln(&b)
	}
	for _, n := range r.Notes {
		paragraph(&b, "note: ", clean(n.Text))
	}
	if folder != "" {
		fmt.Fprintf(&b, "\nsheet.jpg shows all side by side, report.html tells the rest; both are in\n%s\n", clean(folder))
	}
	_, err := w.Write(b.Bytes())
	return err
}

func found(r *Report) string {
	text := count(r.Tiles.Count, "tile") + ", gaps " + percent(r.Gaps.Share) + " of the panel"
	if g := r.Gaps.gapWidth(); g != "" {
		text += ", middle gap " + g
	}
	return text
}

// idWidth is the room for an id; the built-in ones need 10, a longer one is cut.
const idWidth = 27

func table(b *bytes.Buffer, shades []Shade) {
	wide := len("shade")
	for i := range shades {
		wide = min(idWidth, max(wide, len(shades[i].ID)))
	}
	fmt.Fprintf(b, "\n %2s  %-*s %5s %-9s %5s %10s %7s %6s\n", "#", wide, "shade", "L*", "contrast", "HyAB", "no outline", "pieces", "score")
	for i := range shades {
		s := &shades[i]
		fmt.Fprintf(b, " %2d  %-*s %5.1f %-9s %5.1f %10s %7d %6.1f\n", s.Rank, wide, cut(s.ID, wide), s.Lab[0],
			s.word(), s.Contrast.HyAB.P50, percent(s.MergingShare), s.Merged.Pieces, s.Score)
	}
}

// paragraph breaks text at blanks and indents what follows the lead.
func paragraph(b *bytes.Buffer, lead, text string) {
	line, indent := lead, strings.Repeat(" ", utf8.RuneCountInString(lead))
	first := true
	for word := range strings.FieldsSeq(text) {
		if !first && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth {
			fmt.Fprintln(b, strings.TrimRight(line, " "))
			line, first = indent, true
		}
		if !first {
			line += " "
		}
		line, first = line+word, false
	}
	fmt.Fprintln(b, strings.TrimRight(line, " "))
}

// cut shortens a line and marks the cut.
func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-3]) + "..."
}

// clean takes control characters out of names, so that a file name cannot
// steer the terminal.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return '?'
		}
		return r
	}, s)
}
