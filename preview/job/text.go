package job

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"

	"gapshade/preview"
)

// Columns of the terminal's tables: a name, a value, and the rest.
const (
	nameCol  = 15
	valueCol = 21
)

// Text writes the sheet for a terminal: cautions in brief, warnings, the
// quantities and the clock. Checks, mixing, the other clocks and the sources are
// long; they are on paper. Plain characters, no colour, lines up to 80 wide.
func Text(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	d := compose(&s)
	var b bytes.Buffer
	b.WriteString(preview.Paragraph("", d.Title))
	b.WriteString(preview.Paragraph("", d.Lead))
	b.WriteString("\nFirst, safely\n" + preview.Paragraph("  ", d.Overrule))
	for _, c := range s.Plan.Cautions {
		b.WriteString(preview.Paragraph("  "+padded(c.Head, nameCol), c.Brief))
	}
	b.WriteString("\nHow much, and what\n")
	for _, warn := range d.Warnings {
		b.WriteString(preview.Paragraph("  ! ", warn.Text))
	}
	for _, a := range d.Amounts {
		b.WriteString(preview.Paragraph("  "+padded(a.Name, nameCol)+padded(a.Value, valueCol), a.Text))
	}
	b.WriteString("\n" + d.ClockHead)
	if s.Start.IsZero() {
		b.WriteString(" (h:min after the water)")
	}
	b.WriteString("\n")
	for _, m := range append(append([]moment{}, d.Clock...), d.After...) {
		b.WriteString(clockLine(&m))
	}
	q := d.Disputes[0] // when to wipe first
	b.WriteString("\n" + q.Question + ", authorities disagree\n" + preview.Paragraph("  ", q.One.Text) + preview.Paragraph("  ", q.Other.Text))
	_, err := w.Write(b.Bytes())
	return err
}

// clockLine is a step: when, what, and the sign to wait for.
func clockLine(m *moment) string {
	line := "  " + padded(m.When, valueCol) + padded(m.Name, nameCol+3)
	if m.Sign == "" {
		return strings.TrimRight(line, " ") + "\n"
	}
	return preview.Paragraph(line, m.Sign)
}

// padded fills a text up with blanks to so many characters; at least one.
func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(1, width-utf8.RuneCountInString(s)))
}
