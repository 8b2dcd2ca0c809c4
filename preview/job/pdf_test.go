package job

import (
	"bytes"
	"encoding/xml"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/quantity"
)

func pdfFile(t *testing.T, s Sheet) string {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, PDF(&buf, s))
	require.True(t, bytes.HasPrefix(buf.Bytes(), []byte("%PDF-")))
	name := filepath.Join(t.TempDir(), "job.pdf")
	require.NoError(t, os.WriteFile(name, buf.Bytes(), 0o600))
	return name
}

// tool runs a program of poppler-utils, or skips with a word.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skip(name + " is not installed (package poppler-utils); the PDF is not read back")
	}
	out, err := exec.Command(name, args...).Output()
	require.NoError(t, err)
	return string(out)
}

// words makes runs of white space one space, so that line ends don't count.
func words(s string) string { return strings.Join(strings.Fields(s), " ") }

// The oracle is another program: what pdftotext extracts has every sentence
// that the document holds.
func TestPDFTextComesOut(t *testing.T) {
	for _, s := range []Sheet{lemons(t), patio(t)} {
		text := words(tool(t, "pdftotext", "-raw", pdfFile(t, s), "-"))
		d := compose(&s)
		var want []string
		for _, list := range [][]item{d.Warnings, d.Checks, d.Mixing, d.ClockLead} {
			for _, i := range list {
				want = append(want, i.Text)
			}
		}
		for _, c := range d.Cautions {
			want = append(want, c.Head+". "+c.Text)
		}
		for _, m := range d.Clock {
			want = append(want, m.Do)
		}
		want = append(want, d.Title, d.Overrule, "days later")
		for _, w := range want {
			assert.Contains(t, text, words(w))
		}
	}
}

// Nothing is clipped: every word stands within the margins, and no two words
// lie on each other.
func TestPDFWordsStandWithinTheMargins(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	sheets := []Sheet{lemons(t), patio(t)}
	for i := range 10 {
		s := random(t, r)
		s.Paper = []Paper{A4, Letter}[i%2]
		sheets = append(sheets, s)
	}
	for _, s := range sheets {
		for _, p := range boxes(t, pdfFile(t, s)) {
			const margin, slack = marginMm / 25.4 * 72, 0.8 // points; rounding of glyph boxes
			for i, a := range p.Words {
				require.GreaterOrEqual(t, a.X0, margin-slack, "%q of %q", a.Text, s.Title)
				require.LessOrEqual(t, a.X1, p.W-margin+slack, "%q of %q", a.Text, s.Title)
				require.GreaterOrEqual(t, a.Y0, margin-3, a.Text)
				require.LessOrEqual(t, a.Y1, p.H-margin/3, a.Text)
				for _, b := range p.Words[i+1:] {
					if covers(a, b) { // some ten million pairs: no assertion library here
						t.Errorf("%q lies on %q in %q", a.Text, b.Text, s.Title)
					}
				}
			}
		}
	}
}

type word struct {
	X0   float64 `xml:"xMin,attr"`
	Y0   float64 `xml:"yMin,attr"`
	X1   float64 `xml:"xMax,attr"`
	Y1   float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

type sheetPage struct {
	W     float64 `xml:"width,attr"`
	H     float64 `xml:"height,attr"`
	Words []word  `xml:"word"`
}

func boxes(t *testing.T, file string) []sheetPage {
	t.Helper()
	var doc struct {
		Pages []sheetPage `xml:"body>doc>page"`
	}
	require.NoError(t, xml.Unmarshal([]byte(tool(t, "pdftotext", "-bbox", file, "-")), &doc))
	require.NotEmpty(t, doc.Pages)
	return doc.Pages
}

// covers tells an overlap of more than a point both ways and more than a third
// of the lower word: glyph boxes are taller than their letters.
func covers(a, b word) bool {
	dx := min(a.X1, b.X1) - max(a.X0, b.X0)
	dy := min(a.Y1, b.Y1) - max(a.Y0, b.Y0)
	return dx > 1 && dy > 1 && dy > 0.34*min(a.Y1-a.Y0, b.Y1-b.Y0)
}

// Letter is 612 × 792 pt, A4 595.28 × 841.89 (ISO 216 and ANSI/ASME Y14.1).
func TestPaperFollowsTheUnits(t *testing.T) {
	s := lemons(t)
	assert.Contains(t, tool(t, "pdfinfo", pdfFile(t, s)), "595.28 x 841.89")
	s.Paper = Letter
	assert.Contains(t, tool(t, "pdfinfo", pdfFile(t, s)), "612 x 792")
	assert.Contains(t, tool(t, "pdfinfo", pdfFile(t, patio(t))), "612 x 792")
	s.Paper = "A5"
	var buf bytes.Buffer
	assert.ErrorContains(t, PDF(&buf, s), "A5")
	assert.Zero(t, buf.Len())
}

// Every font is inside, and the shortest sheet takes two pages of A4.
func TestPDFCarriesItsFonts(t *testing.T) {
	s := lemons(t)
	s.Panel = nil
	file := pdfFile(t, s)
	lines := strings.Split(strings.TrimSpace(tool(t, "pdffonts", file)), "\n")[2:]
	require.NotEmpty(t, lines)
	for _, l := range lines {
		assert.Regexp(t, `Identity-H\s+yes`, l)
	}
	info := tool(t, "pdfinfo", file)
	assert.Regexp(t, `Pages:\s+2\n`, info)
	assert.Regexp(t, `Title:\s+Lemons for Anna – job sheet`, info)
	assert.NotContains(t, info, "/")
}

// Letters that the font lacks are replaced; a note number is never alone at the
// beginning of a line.
func TestPenLines(t *testing.T) {
	s := lemons(t)
	p, err := newPen(&s)
	require.NoError(t, err)
	assert.Equal(t, "aé½≥ ?? ?", p.printable("aé½≥ 漢字 😀"))
	p.f.AddPage()
	for width := 24.0; width < 120; width += 0.5 {
		lines := p.wrap([]run{{text: "Head.", style: "B"}, {text: "water into the bucket and powder to the water"}, note([]int{3, 14})[0]}, width)
		last := lines[len(lines)-1]
		require.NotContains(t, last[0].text, "[", "width %g", width)
		for _, line := range lines {
			end := line[len(line)-1]
			p.use(end.run)
			require.LessOrEqual(t, end.x+p.f.GetStringWidth(end.text), width+0.01)
		}
	}
	for _, line := range p.wrap([]run{{text: strings.Repeat("x", 300)}}, 30) {
		p.use(line[0].run)
		require.LessOrEqual(t, p.f.GetStringWidth(line[0].text), 30.0)
	}
}

// The last item of a list is never alone on a page: where it does not fit, the one
// before goes with it.
func TestListsKeepCompany(t *testing.T) {
	s := lemons(t)
	p, err := newPen(&s)
	require.NoError(t, err)
	p.f.AddPage()
	items := []item{{Text: "first"}, {Text: "second"}, {Text: "third"}}
	p.y = p.bottom - 2.5*lineHeight(runs(items[0])) // room for two lines and the space between them
	p.list(items, true)
	assert.Equal(t, 2, p.f.PageNo())
	assert.InDelta(t, marginMm+2*(lineHeight(runs(items[0]))+0.6), p.y, 0.01, "two of them")
}

func BenchmarkPDF(b *testing.B) {
	in := quantity.Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 300, 300, 20, 20, 2
	p, err := quantity.Make(in)
	require.NoError(b, err)
	for b.Loop() {
		var buf bytes.Buffer
		require.NoError(b, PDF(&buf, Sheet{Plan: p}))
	}
}
