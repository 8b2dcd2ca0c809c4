package job

import (
	"fmt"
	"regexp"
	"strings"

	"gapshade/preview/quantity"
)

// document is the sheet in ready words. HTML and PDF only place them, so that
// wording and rounding happen once.
type document struct {
	Title, Lead string
	Tab         string // for window titles and footers
	Overrule    string
	Cautions    []item
	Warnings    []item
	Amounts     []amount
	Mixing      []item
	Clock       []moment
	ClockHead   string
	WhenHead    string // what the times of the clock are
	ClockLead   []item
	Drawing     drawing
	After       []moment
	Checks      []item
	Disputes    []dispute
	Panel       *Picture
	Notes       []string // sources, numbered from 1
}

// The parts of a document. Text is plain: no mark-up, no line ends.

// item is a sentence with an optional head, and its notes.
type item struct {
	Head, Text string
	Notes      []int
}

// amount is one line of the table of quantities.
type amount struct {
	Name, Value, Text string
	Notes             []int
	Strong            bool
}

// moment is one line of the clock.
type moment struct {
	When, Name, Do, Sign string
	Notes                []int
	Wait                 bool
}

// dispute is a question with two answers, side by side; neither is preferred.
type dispute struct {
	Question   string
	One, Other item
}

// notebook numbers the sources in the order of their first use.
type notebook struct {
	texts  []string
	number map[quantity.Source]int
}

// of returns the numbers of sources, giving new ones to those not yet seen.
func (n *notebook) of(sources []quantity.Source) []int {
	var out []int
	for _, s := range sources {
		k := n.number[s]
		if k == 0 {
			n.texts = append(n.texts, string(s))
			k = len(n.texts)
			n.number[s] = k
		}
		out = append(out, k)
	}
	return out
}

// item takes over a line with its sources as numbers.
func (n *notebook) item(head string, l quantity.Line) item {
	return item{head, l.Text, n.of(l.Sources)}
}

// items takes over a list.
func (n *notebook) items(lines []quantity.Line) (out []item) {
	for _, l := range lines {
		out = append(out, n.item("", l))
	}
	return out
}

// compose writes the document. The order of the calls is the order of reading,
// and so of the notes.
func compose(s *Sheet) *document {
	n := &notebook{number: map[quantity.Source]int{}}
	p := &s.Plan
	d := &document{Title: "Job sheet", Tab: "Job sheet", Lead: lead(s), Overrule: quantity.Overrule, Panel: s.Panel}
	if t := clean(s.Title); t != "" {
		d.Title, d.Tab = t, t+" – job sheet"
	}
	for _, c := range p.Cautions {
		d.Cautions = append(d.Cautions, n.item(c.Head, c.Line))
	}
	for _, w := range p.Warnings {
		d.Warnings = append(d.Warnings, n.item("", w.Line))
	}
	for _, a := range p.Amounts() {
		d.Amounts = append(d.Amounts, amount{a.Name, a.Value, a.Text, n.of(a.Sources), a.Strong})
	}
	d.Checks = n.items(p.Checks)
	d.Mixing = n.items(p.Mixing)
	n.clock(d, s)
	for _, q := range p.Disputes {
		d.Disputes = append(d.Disputes, dispute{q.Question, n.item("", q.One), n.item("", q.Other)})
	}
	d.Notes = n.texts
	d.tie()
	return d
}

// fillsItsSize: with less of its width by height the panel is round or free, or has an
// opening, and its area is told as well (ours).
const fillsItsSize = 0.95

// lead says in one line which job this is.
func lead(s *Sheet) string {
	p, u := &s.Plan, s.Plan.In.Units
	in := &p.In
	size := u.Area(in.PanelMm2)
	if in.WidthMm > 0 && in.HeightMm > 0 {
		size = u.Size(in.WidthMm, in.HeightMm)
		if in.PanelMm2 < fillsItsSize*in.WidthMm*in.HeightMm {
			size += " over all, " + u.Area(in.PanelMm2) + " in area"
		}
	}
	material := string(in.Material)
	if in.Material == quantity.Mixed {
		material = "mixed or unnamed pieces"
	}
	depth := u.Length(p.ThicknessMm) + " thick"
	if in.Grouted {
		depth = "old joints raked out " + u.Length(p.ThicknessMm)
	}
	parts := []string{"Panel " + size, material, depth, string(in.Place)}
	if g := clean(s.Grout); g != "" {
		parts = append(parts, "grout "+g)
	}
	if !s.Start.IsZero() {
		parts = append(parts, "water at "+quantity.At(s.Start, 0).Format("15:04 on Monday 2 January 2006"))
	}
	return strings.Join(parts, " · ")
}

// marks prints note numbers: "[1, 4]".
func marks(notes []int) string {
	if len(notes) == 0 {
		return ""
	}
	s := make([]string, len(notes))
	for i, k := range notes {
		s[i] = fmt.Sprint(k)
	}
	return "[" + strings.Join(s, ", ") + "]"
}

// together is a number and what it must not be parted from: its unit, its
// fraction, or the pH before it.
var together = regexp.MustCompile(`([0-9½]|pH) (%|°|[0-9]+/[0-9]|mm|cm|m²|in\b|in²|ft²|oz|lb|fl oz|US |kg|g\b|mL|L\b|h\b|min|days|[0-9]+\b)`)

// tied puts a space that doesn't break between them. A few numbers before words
// like "in" are caught too; that does no harm.
func tied(s string) string { return together.ReplaceAllString(s, "$1\u00a0$2") }

// tie keeps numbers and units on one line, everywhere.
func (d *document) tie() {
	for _, list := range [][]item{d.Cautions, d.Warnings, d.Mixing, d.ClockLead, d.Checks} {
		for i := range list {
			list[i].Text = tied(list[i].Text)
		}
	}
	for i := range d.Amounts {
		d.Amounts[i].Value, d.Amounts[i].Text = tied(d.Amounts[i].Value), tied(d.Amounts[i].Text)
	}
	for i := range d.Disputes {
		d.Disputes[i].One.Text, d.Disputes[i].Other.Text = tied(d.Disputes[i].One.Text), tied(d.Disputes[i].Other.Text)
	}
	d.Lead = tied(d.Lead)
}
