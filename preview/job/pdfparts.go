package job

import (
	"bytes"

	"codeberg.org/go-pdf/fpdf"
)

// room begins a new page unless so many mm are left on this one.
func (p *pen) room(h float64) {
	if p.y+h > p.bottom {
		p.f.AddPage()
		p.y = marginMm
	}
}

// heading keeps at least so many mm of what follows with it.
func (p *pen) heading(text string, keep float64) {
	p.y += 3
	p.room(6 + keep)
	p.paragraph(0, 0.8, run{text: text, style: "B", size: headPt})
}

// paragraph sets text from an indent, with space below it; it is never cut.
func (p *pen) paragraph(indent, below float64, rs ...run) {
	lines, lh := p.wrap(rs, p.width-indent), lineHeight(rs)
	p.room(float64(len(lines)) * lh)
	p.y = p.set(lines, p.left+indent, p.y, lh) + below
}

// list sets items behind bullets, or behind boxes to tick. Its last item is
// never alone on a page.
func (p *pen) list(items []item, tick bool) {
	const indent, below = 5.0, 0.6
	wrapped, height := make([][][]piece, len(items)), make([]float64, len(items))
	for i, it := range items {
		wrapped[i] = p.wrap(runs(it), p.width-indent)
		height[i] = float64(len(wrapped[i])) * lineHeight(runs(it))
	}
	for i, it := range items {
		keep := height[i]
		if i == len(items)-2 {
			keep += below + height[i+1]
		}
		p.room(keep)
		lh := lineHeight(runs(it))
		p.bullet(tick, lh)
		p.y = p.set(wrapped[i], p.left+indent, p.y, lh) + below
	}
}

// bullet draws what stands before an item.
func (p *pen) bullet(tick bool, lh float64) {
	const box = 2.6
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetFillColor(0, 0, 0)
	if tick {
		p.f.SetLineWidth(0.25)
		p.f.Rect(p.left+0.3, p.y+0.6, box, box, "D")
	} else {
		p.f.Circle(p.left+1.6, p.y+lh/2, 0.5, "F")
	}
}

// barred is a warning: a paragraph with a thick rule at its left.
func (p *pen) barred(i item) {
	const indent = 4.0
	rs := runs(i)
	lines, lh := p.wrap(rs, p.width-indent), lineHeight(rs)
	p.room(float64(len(lines)) * lh)
	p.f.SetFillColor(0, 0, 0)
	p.f.Rect(p.left, p.y, 1, float64(len(lines))*lh, "F")
	p.y = p.set(lines, p.left+indent, p.y, lh) + 1.2
}

// row is one line of a table: a rule, then cells in shares of the width.
func (p *pen) row(shares []float64, cells ...[]run) {
	const pad, gap = 0.75, 3.0
	h, lh := 0.0, make([]float64, len(cells))
	wrapped := make([][][]piece, len(cells))
	for i, c := range cells {
		wrapped[i], lh[i] = p.wrap(c, shares[i]*p.width-gap), lineHeight(c)
		h = max(h, float64(len(wrapped[i]))*lh[i])
	}
	p.room(h + 2*pad)
	p.f.SetDrawColor(190, 190, 190)
	p.f.SetLineWidth(0.2)
	p.f.Line(p.left, p.y, p.left+p.width, p.y)
	x := p.left
	for i := range cells {
		p.set(wrapped[i], x, p.y+pad, lh[i])
		x += shares[i] * p.width
	}
	p.y += h + 2*pad
}

// box is the cautions, two columns in a frame.
func (p *pen) box(d *document) {
	const pad = 3.0
	items := make([][]run, len(d.Cautions))
	for i, c := range d.Cautions {
		items[i] = runs(c)
	}
	top := p.y
	p.y += pad
	p.inset(pad, func() {
		p.paragraph(0, 0.8, run{text: "First, safely", style: "B", size: headPt})
		p.paragraph(0, 1.4, run{text: d.Overrule, style: "B"})
	})
	cols, height := p.columns(items, p.width-2*pad, 2, 1)
	p.setColumns(cols, height, p.left+pad)
	p.y += pad - 1
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetLineWidth(0.6)
	p.f.Rect(p.left, top, p.width, p.y-top, "D")
}

// inset narrows the text by pad on both sides while write writes.
func (p *pen) inset(pad float64, write func()) {
	p.left, p.width = p.left+pad, p.width-2*pad
	write()
	p.left, p.width = p.left-pad, p.width+2*pad
}

// column is a paragraph's place among columns, mm.
type column struct {
	x, y  float64
	lines [][]piece
	lh    float64
}

// columns breaks a list into n columns of about equal height, in its order. The
// places count from the top left; height is that of the longest column.
func (p *pen) columns(items [][]run, width float64, n int, below float64) (out []column, height float64) {
	const gap = 6.0
	w, total := (width-gap*float64(n-1))/float64(n), 0.0
	for _, rs := range items {
		c := column{lines: p.wrap(rs, w), lh: lineHeight(rs)}
		total += c.height() + below
		out = append(out, c)
	}
	at, y := 0, 0.0
	for i := range out {
		h := out[i].height() + below
		if at < n-1 && y > 0 && y+h/2 > total/float64(n) {
			at, y = at+1, 0
		}
		out[i].x, out[i].y = float64(at)*(w+gap), y
		y += h
		height = max(height, y)
	}
	return out, height
}

// height is that of the lines, mm.
func (c *column) height() float64 { return float64(len(c.lines)) * c.lh }

// setColumns draws the columns at p.y and moves below them.
func (p *pen) setColumns(cols []column, height, left float64) {
	for _, c := range cols {
		p.set(c.lines, left+c.x, p.y+c.y, c.lh)
	}
	p.y += height
}

// notes is the list of sources, small, in three columns.
func (p *pen) notes(notes []string) {
	items := make([][]run, len(notes))
	for i, n := range notes {
		items[i] = []run{{text: marks([]int{i + 1}) + " " + n, size: smallPt - 0.5, grey: true}}
	}
	cols, height := p.columns(items, p.width, 3, 0.2)
	p.heading("Where the figures come from", height)
	p.setColumns(cols, height, p.left)
}

// Height of the panel's picture, mm: as tall as is left on the page between the
// two, else on the next page.
const (
	tallest  = 85.0
	shortest = 50.0
)

// picture is the panel with the narrow gaps marked.
func (p *pen) picture(pic *Picture) {
	if photo(pic) == "" || pic.W <= 0 || pic.H <= 0 {
		return
	}
	const around = 3 + 6 + 2.5 + 6 // heading above, caption below
	shape := float64(pic.W) / float64(pic.H)
	h := min(tallest, p.width/shape)
	if left := p.bottom - p.y - around; left >= min(h, shortest) {
		h = min(h, left)
	}
	p.heading("Where gaps are hard to fill", h+around-9)
	opt := fpdf.ImageOptions{ImageType: "PNG"}
	p.f.RegisterImageOptionsReader("panel", opt, bytes.NewReader(pic.PNG))
	p.f.ImageOptions("panel", p.left, p.y+1.5, h*shape, h, false, opt, 0, "")
	p.y += h + 2.5
	p.paragraph(0, 1, run{text: clean(pic.Caption), grey: true})
}
