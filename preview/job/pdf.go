package job

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"gapshade/preview/quantity"
)

// PDF writes job.pdf: the same document as job.html, on A4 or Letter, with its
// font inside and its text selectable. It is not a tagged PDF: who needs a
// screen reader is better served by job.html. Creation date and everything else
// depend on the sheet alone.
func PDF(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	if p := s.paper(); p != A4 && p != Letter {
		return fmt.Errorf("job.pdf: paper %q is not known; use A4 or Letter", p)
	}
	p, err := newPen(&s)
	if err != nil {
		return err
	}
	d := compose(&s)
	p.f.SetTitle(d.Tab, true)
	p.footer(d.Tab)
	p.f.AddPage()
	p.write(d)
	var buf bytes.Buffer // nothing half written
	if err := p.f.Output(&buf); err != nil {
		return fmt.Errorf("job.pdf: %w", err)
	}
	_, err = w.Write(buf.Bytes())
	return err
}

// Sizes in mm and points.
const (
	marginMm = 12.0
	footMm   = 10.0
	bodyPt   = 9.0
	smallPt  = 6.5
	headPt   = 11.5
	titlePt  = 17.0
)

// pen writes down a page of its own font, from the top to the bottom.
type pen struct {
	f      *fpdf.Fpdf
	font   *sfnt.Font // to ask for its letters
	glyphs sfnt.Buffer
	left   float64 // of the text, mm
	width  float64 // of the text, mm
	bottom float64 // y of the last line, mm
	y      float64
}

// newPen opens an empty document. Page breaks are ours alone, because the
// library's own would cut a table row in two.
func newPen(s *Sheet) (*pen, error) {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("job.pdf: %w", err)
	}
	f := fpdf.New("P", "mm", string(s.paper()), "")
	f.SetMargins(marginMm, marginMm, marginMm)
	f.SetAutoPageBreak(false, 0) // rows must not be cut: see room
	f.SetCatalogSort(true)       // equal sheets, equal bytes
	at := time.Unix(0, 0).UTC()
	if !s.Start.IsZero() {
		at = quantity.At(s.Start, 0)
	}
	f.SetCreationDate(at)
	f.SetModificationDate(at)
	f.SetProducer("gapshade", false)
	f.SetCreator("gapshade", false)
	f.SetLang("en")
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	f.AliasNbPages("{all}")
	w, h := f.GetPageSize()
	return &pen{f: f, font: font, left: marginMm, width: w - 2*marginMm, bottom: h - footMm - 4, y: marginMm}, nil
}

// footer numbers the pages.
func (p *pen) footer(title string) {
	p.f.SetFooterFunc(func() {
		_, h := p.f.GetPageSize()
		p.f.SetFont("go", "", smallPt+0.5)
		p.f.SetTextColor(90, 90, 90)
		last := fmt.Sprintf("page %d of ", p.f.PageNo())
		p.f.Text(marginMm+p.width-p.f.GetStringWidth(last+"9"), h-footMm+2.8, last+"{all}")
		p.f.Text(marginMm, h-footMm+2.8, p.fit(p.printable(title), p.width-40))
		p.f.SetTextColor(0, 0, 0)
	})
}

// write is the sheet from top to bottom, in the order of job.html.
func (p *pen) write(d *document) {
	p.paragraph(0, 0.8, run{text: d.Title, style: "B", size: titlePt})
	p.paragraph(0, 2.5, run{text: d.Lead, grey: true})
	p.box(d)
	p.heading("How much, and what", 30)
	for _, w := range d.Warnings {
		p.barred(w)
	}
	p.amounts(d.Amounts)
	p.heading("Before any water", 14)
	p.list(d.Checks, true)
	p.heading("Mixing", 14)
	p.list(d.Mixing, false)
	p.clock(d)
	p.heading("Where authorities disagree", 16)
	for _, q := range d.Disputes {
		p.row([]float64{0.17, 0.41, 0.42}, []run{{text: q.Question, style: "B"}}, runs(q.One), runs(q.Other))
	}
	p.picture(d.Panel)
	p.notes(d.Notes)
}

// clock is the drawing and the table below it; the heading stays with the drawing.
func (p *pen) clock(d *document) {
	p.heading(d.ClockHead, 14+0.25*d.Drawing.H)
	for _, l := range d.ClockLead {
		p.paragraph(0, 0.8, runs(l)...)
	}
	p.drawing(&d.Drawing)
	widths := []float64{0.175, 0.155, 0.67}
	p.row(widths, small(d.WhenHead), small("Step"), small("What to do, and the sign to wait for"))
	for _, m := range append(append([]moment{}, d.Clock...), d.After...) {
		style := "B"
		if m.Wait {
			style = ""
		}
		do := []run{{text: m.Do, grey: m.Wait}}
		if m.Sign != "" {
			do = append(do, run{text: "Sign: " + m.Sign + "."})
		}
		p.row(widths, []run{{text: m.When, grey: m.Wait}}, []run{{text: m.Name, style: style, grey: m.Wait}}, append(do, note(m.Notes)...))
	}
}

// amounts is the table of quantities.
func (p *pen) amounts(rows []amount) {
	for _, a := range rows {
		v := run{text: a.Value}
		if a.Strong {
			v = run{text: a.Value, style: "B", size: bodyPt + 1.5}
		}
		p.row([]float64{0.15, 0.17, 0.68}, []run{{text: a.Name, style: "B"}}, []run{v}, append([]run{{text: a.Text}}, note(a.Notes)...))
	}
}
