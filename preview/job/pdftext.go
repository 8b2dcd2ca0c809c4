package job

import (
	"strings"
)

// run is text of one look. Size 0 is the body's.
type run struct {
	text, style string
	size        float64 // pt
	grey        bool
	glue        bool // stays on the line of the word before it
}

// points is the size of the run in pt.
func (r run) points() float64 {
	if r.size == 0 {
		return bodyPt
	}
	return r.size
}

// runs dresses an item: bold head, text, small grey note numbers.
func runs(i item) []run {
	var out []run
	if i.Head != "" {
		out = append(out, run{text: i.Head + ".", style: "B"})
	}
	return append(append(out, run{text: i.Text}), note(i.Notes)...)
}

// note is the numbers of sources behind a sentence, glued to its last word.
func note(notes []int) []run {
	if len(notes) == 0 {
		return nil
	}
	return []run{{text: strings.ReplaceAll(marks(notes), " ", ""), size: smallPt, grey: true, glue: true}}
}

// small is a column head.
func small(text string) []run { return []run{{text: text, size: smallPt + 1, grey: true}} }

// piece is a run's share of a line; x from the line's left.
type piece struct {
	run
	x float64
}

// lineHeight in mm for the largest text of a paragraph: 1.3 times its size.
func lineHeight(rs []run) float64 {
	largest := 0.0
	for _, r := range rs {
		largest = max(largest, r.points())
	}
	return largest * 1.3 * 25.4 / 72
}

// wrap breaks runs into lines no wider than width, mm. The library's own
// MultiCell knows one font per paragraph; bold heads and small note numbers in
// the line need this.
func (p *pen) wrap(rs []run, width float64) [][]piece {
	var lines [][]piece
	var line []piece
	x := 0.0
	for _, r := range rs {
		p.use(r)
		space := p.f.GetStringWidth(" ")
		for _, word := range p.words(p.printable(r.text), width) {
			w := p.f.GetStringWidth(word)
			if x > 0 && x+space+w > width {
				rest, kept := p.unglue(line, r.glue)
				lines, line, x = append(lines, rest), kept, p.reach(kept)
				p.use(r)
			}
			line, x = place(line, r, word, x, space)
			x += w
		}
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return lines
}

// place adds a word to the line: to the last piece if that looks the same, so
// that a line of text stays one string for whoever selects it.
func place(line []piece, r run, word string, x, space float64) ([]piece, float64) {
	if len(line) == 0 {
		return append(line, piece{r.with(word), 0}), 0
	}
	last := &line[len(line)-1]
	if last.style == r.style && last.size == r.size && last.grey == r.grey {
		last.text += " " + word
		return line, x + space
	}
	return append(line, piece{r.with(word), x + space}), x + space
}

// with is the same look for other words.
func (r run) with(text string) run { r.text = text; return r }

// unglue takes the last word off a line, so that a note number is not left
// alone at the beginning of the next one.
func (p *pen) unglue(line []piece, glued bool) (rest, kept []piece) {
	last := len(line) - 1
	cut := strings.LastIndexByte(line[last].text, ' ')
	if !glued || cut < 0 {
		return line, nil
	}
	word := line[last].with(line[last].text[cut+1:])
	line[last].text = line[last].text[:cut]
	return line, []piece{{word, 0}}
}

// reach is the width of a line of at most one piece.
func (p *pen) reach(line []piece) float64 {
	if len(line) == 0 {
		return 0
	}
	p.use(line[0].run)
	return p.f.GetStringWidth(line[0].text)
}

// words splits at spaces, and splits a word that is wider than the line.
func (p *pen) words(text string, width float64) (out []string) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		for p.f.GetStringWidth(word) > width {
			part := p.fit(word, width)
			out, word = append(out, part), strings.TrimPrefix(word, part)
		}
		out = append(out, word)
	}
	return out
}

// fit is the longest beginning of text that fits, at least one letter.
func (p *pen) fit(text string, width float64) string {
	runes := []rune(text)
	n := len(runes)
	for n > 1 && p.f.GetStringWidth(string(runes[:n])) > width {
		n--
	}
	return string(runes[:n])
}

// use turns the pen to the look of a run. Grey is dark enough to be read: 80 of
// 255 on white is 9:1.
func (p *pen) use(r run) {
	p.f.SetFont("go", r.style, r.points())
	if r.grey {
		p.f.SetTextColor(80, 80, 80)
	} else {
		p.f.SetTextColor(0, 0, 0)
	}
}

// set draws wrapped lines from x, y and returns the y below them.
func (p *pen) set(lines [][]piece, x, y, lh float64) float64 {
	for _, line := range lines {
		for _, part := range line {
			p.use(part.run)
			p.f.Text(x+part.x, y+0.76*lh, part.text)
		}
		y += lh
	}
	return y
}

// printable replaces letters that the font lacks by a question mark; the PDF
// library would print an empty box, and fails beyond the basic plane.
func (p *pen) printable(s string) string {
	return strings.Map(func(r rune) rune {
		if g, err := p.font.GlyphIndex(&p.glyphs, r); r > 0xffff || err != nil || g == 0 {
			return '?'
		}
		return r
	}, s)
}
