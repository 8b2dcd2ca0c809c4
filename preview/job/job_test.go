package job

import (
	"bytes"
	"encoding/xml"
	"errors"
	"html"
	"image/color"
	"image/png"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/quantity"
)

var start = time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)

func plan(t *testing.T, in quantity.Input) quantity.Plan {
	t.Helper()
	p, err := quantity.Make(in)
	require.NoError(t, err)
	return p
}

// lemons is a small measured mosaic with all that a sheet can hold.
func lemons(t *testing.T) Sheet {
	in := quantity.Default()
	in.WidthMm, in.HeightMm, in.GapMm2 = 280, 356, 0.17*280*356
	in.Joint, in.NarrowShare = quantity.Widths{P10: 1.2, P50: 2.1, P90: 3.6}, 0.08
	in.Material, in.ThicknessMm, in.EdgeMm = quantity.Glass, 4, 8
	n := quantity.Narrows{W: 4, H: 2, Share: 0.08, Cell: []quantity.Cell{0, 1, 2, 3, 1, 1, 2, 2}}
	pic, err := DrawNarrow(&n, in.Units)
	require.NoError(t, err)
	return Sheet{Title: "Lemons for Anna", Grout: "mid warm", Plan: plan(t, in), Start: start, Panel: pic}
}

// patio is outdoor tile in the cold, in US units, without a start.
func patio(t *testing.T) Sheet {
	in := quantity.Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 240*25.4, 200*25.4, 304.8, 304.8, 3.175
	in.Material, in.Place, in.Units, in.ThicknessMm, in.TemperatureC = quantity.Porcelain, quantity.Outdoor, quantity.US, 9.525, 12
	return Sheet{Title: "Patio", Plan: plan(t, in)}
}

// random is any job and any title a person might paste.
func random(t *testing.T, r *rand.Rand) Sheet {
	in := quantity.Default()
	in.WidthMm, in.HeightMm = 50+3000*r.Float64(), 50+3000*r.Float64()
	side := 5 + 400*r.Float64()*r.Float64()
	in.TileWMm, in.TileHMm, in.JointMm = side, side, 0.5+8*r.Float64()
	in.TemperatureC = 6 + 30*r.Float64()
	in.PotLifeMin = []float64{0, 25, 60, 120}[r.IntN(4)]
	in.Place = []quantity.Place{quantity.Indoor, quantity.Wet, quantity.Outdoor}[r.IntN(3)]
	in.Material = []quantity.Material{quantity.Glass, quantity.Stone, quantity.Mixed}[r.IntN(3)]
	in.Clock = []quantity.Clock{"", quantity.Unhurried, quantity.ByTouch}[r.IntN(3)]
	in.Units = []quantity.Units{quantity.Metric, quantity.US}[r.IntN(2)]
	titles := []string{"", "Lemons", "a; b, c\\n \\ \"d\"", strings.Repeat("long word ", 20), strings.Repeat("x", 300),
		"ünï 漢字 😀 " + strings.Repeat("é", 80), "two\r\nlines\x00\u202e", "<b>&amp;</b> {{.}}", "BEGIN:VEVENT", "\xff\xfe"}
	return Sheet{Title: titles[r.IntN(len(titles))], Plan: plan(t, in),
		Start: start.Add(time.Duration(r.IntN(2e6)) * time.Minute)}
}

func page(t *testing.T, s Sheet) string {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, HTML(&buf, s))
	return buf.String()
}

type element struct {
	name string
	attr map[string]string
}

// elements parses the page as XML, which HTML of this plain kind also is, so
// that every tag must be closed in its place.
func elements(t *testing.T, text string) (out []element) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		if s, ok := tok.(xml.StartElement); ok {
			e := element{s.Name.Local, map[string]string{}}
			for _, a := range s.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			out = append(out, e)
		}
	}
}

func TestHTMLNeedsAndRunsNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	sheets := []Sheet{lemons(t), patio(t)}
	for range 20 {
		sheets = append(sheets, random(t, r))
	}
	for _, s := range sheets {
		text := page(t, s)
		for _, e := range elements(t, text) {
			assert.NotContains(t, []string{"script", "link", "iframe", "object", "embed", "form", "base", "a", "b"}, e.name)
			if src := e.attr["src"]; src != "" {
				assert.True(t, strings.HasPrefix(src, "data:image/png;base64,"), src)
			}
			assert.Empty(t, e.attr["href"])
		}
		assert.Contains(t, text, `content="default-src 'none'; img-src data:; style-src 'unsafe-inline'"`)
		for _, bad := range []string{"http://", "https://", "file:", "url(", "@import", "ZgotmplZ", "<no value>", "NaN", "Inf", "%!"} {
			assert.NotContains(t, text, bad)
		}
	}
}

func TestHTMLIsAccessible(t *testing.T) {
	headings, pictures := 0, 0
	for _, e := range elements(t, page(t, lemons(t))) {
		switch e.name {
		case "html":
			assert.Equal(t, "en", e.attr["lang"])
		case "img":
			pictures++
			assert.Greater(t, len(e.attr["alt"]), 10)
			assert.NotEmpty(t, e.attr["width"])
		case "svg":
			assert.Greater(t, len(e.attr["aria-label"]), 40, "the drawing in words")
		case "th":
			assert.NotEmpty(t, e.attr["scope"])
		case "h1":
			headings++
		}
	}
	assert.Equal(t, 1, headings)
	assert.Equal(t, 1, pictures)
}

// Cautions stand first, and the sheet defers before it says anything else.
func TestSafetyComesFirst(t *testing.T) {
	text := page(t, lemons(t))
	overrule := strings.Index(text, quantity.Overrule)
	require.Positive(t, overrule)
	for _, later := range []string{"N95", "Buy", "Weigh", "Clock"} {
		assert.Greater(t, strings.Index(text, later), overrule, later)
	}
	d := compose(new(lemons(t)))
	words := 0
	for _, c := range d.Cautions {
		words += len(strings.Fields(c.Text))
	}
	assert.Less(t, words, 220, "short enough to be read")
}

// Every sentence of the plan reaches the sheet, and every note number has its
// source in the list.
func TestNothingOfThePlanIsLost(t *testing.T) {
	for _, s := range []Sheet{lemons(t), patio(t)} {
		d := compose(&s)
		text := strings.ReplaceAll(html.UnescapeString(page(t, s)), "\u00a0", " ")
		p := &s.Plan
		lines := append(append([]quantity.Line{}, p.Mixing...), p.Checks...)
		for _, w := range p.Warnings {
			lines = append(lines, w.Line)
		}
		for _, c := range p.Cautions {
			lines = append(lines, c.Line)
		}
		for _, q := range p.Disputes {
			lines = append(lines, q.One, q.Other)
		}
		for _, l := range lines {
			assert.Contains(t, text, l.Text)
			for _, source := range l.Sources {
				assert.Contains(t, d.Notes, string(source))
			}
		}
		for _, step := range append(append([]quantity.Step{}, p.Schedule.Round...), p.Schedule.After...) {
			assert.Contains(t, text, strings.ReplaceAll(step.Do, "\u00a0", " "))
		}
		seen := map[string]bool{}
		for _, n := range d.Notes {
			assert.False(t, seen[n], "source %q stands twice", n)
			seen[n] = true
		}
	}
}

// The figures of the sheet by hand: 280 × 356 mm × 0.17 × 4 mm = 67.8 mL, an
// edge of 2 × 636 × 8 × 1.5 mm = 15.3 mL, sanded 1.58 kg/L.
func TestAmountsOfTheLemons(t *testing.T) {
	d := compose(new(lemons(t)))
	value := map[string]string{}
	for _, a := range d.Amounts {
		value[a.Name] = strings.ReplaceAll(a.Value, "\u00a0", " ")
	}
	assert.Equal(t, "17 %, 83 mL", value["Gaps"])
	assert.Equal(t, "131 g", value["In the joints"])
	assert.Equal(t, "144 g", value["Plus 10 %"])
	assert.Equal(t, "243 g to 487 g", value["At the bench"])
	assert.Equal(t, "1 batch of 455 g", value["Mix"], "a pound is the least worth mixing")
	assert.Equal(t, "590 g", value["Buy"], "487 g and 100 g to keep, on a scale of 5 g")
	assert.Equal(t, "sanded, CG2", value["Ask for"])
}

// Without a start nothing says when; with one, nothing else is a date.
func TestDatesComeFromTheStartAlone(t *testing.T) {
	s := lemons(t)
	assert.Contains(t, page(t, s), "10:00 on Monday 4")
	s.Start = time.Time{}
	text := page(t, s)
	for _, month := range []string{" May", " Jun", "2026", "1970"} {
		assert.NotContains(t, strings.ReplaceAll(text, "TILE Letter, May 2018", ""), month)
	}
	assert.Contains(t, text, "After the water")
}

func TestEqualSheetsGiveEqualBytes(t *testing.T) {
	for _, s := range []Sheet{lemons(t), patio(t)} {
		var first [3]string
		for i := range 4 {
			var h, p, c bytes.Buffer
			require.NoError(t, HTML(&h, s))
			require.NoError(t, PDF(&p, s))
			if !s.Start.IsZero() {
				require.NoError(t, Calendar(&c, s))
			}
			got := [3]string{h.String(), p.String(), c.String()}
			if i == 0 {
				first = got
			}
			require.True(t, first == got, "run %d differs", i)
		}
	}
}

func TestCleanTitles(t *testing.T) {
	for in, want := range map[string]string{
		"  two\r\n lines ":     "two lines",
		"a\x00b\u202ec\ufeff":  "abc",
		"\xff\xfe":             "",
		"tab\tand\u00a0space":  "tab and space",
		"Zitronen – für Anna!": "Zitronen – für Anna!",
	} {
		assert.Equal(t, want, clean(in))
	}
	assert.Len(t, []rune(clean(strings.Repeat("x", 300))), 120)
}

func TestNoPictureWithoutNarrowGaps(t *testing.T) {
	pic, err := DrawNarrow(&quantity.Narrows{W: 1, H: 1, Cell: []quantity.Cell{quantity.Gap}}, quantity.Metric)
	require.NoError(t, err)
	assert.Nil(t, pic)
}

// The terminal's sheet: cautions before anything else, every amount and every
// step, lines of 80 at most, and nothing that steers a terminal.
func TestTextSheet(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	sheets := []Sheet{lemons(t), patio(t)}
	for range 50 {
		sheets = append(sheets, random(t, r))
	}
	for _, s := range sheets {
		var buf bytes.Buffer
		require.NoError(t, Text(&buf, s))
		text := buf.String()
		for line := range strings.Lines(text) {
			line = strings.TrimSuffix(line, "\n")
			if len(strings.Fields(line)) > 1 { // a word of 300 letters has no place to break
				assert.LessOrEqual(t, len([]rune(line)), 80, line)
			}
			assert.Equal(t, strings.TrimRight(line, " "), line)
			assert.NotContains(t, line, "\u00a0")
			assert.NotContains(t, line, "\x1b")
		}
		words := strings.Join(strings.Fields(text), " ")
		last := strings.Index(words, "First, safely")
		require.Positive(t, last)
		for _, c := range s.Plan.Cautions {
			at := strings.Index(words, c.Head+" "+c.Brief)
			require.Greater(t, at, last, c.Head)
			last = at
		}
		for _, a := range s.Plan.Amounts() {
			at := strings.Index(words, strings.ReplaceAll(a.Name+" "+a.Value, "\u00a0", " "))
			require.Greater(t, at, last, a.Name)
			last = at
		}
		require.Greater(t, strings.Index(words, "Clock: "+string(s.Plan.Schedule.Clock)), last)
		for _, step := range s.Plan.Schedule.Round {
			assert.Contains(t, words, step.Name)
		}
		assert.Contains(t, words, "Unhurried")
		assert.Contains(t, words, "By touch")
	}
	assert.ErrorContains(t, Text(io.Discard, Sheet{}), "no plan")
	assert.ErrorIs(t, Text(full{}, lemons(t)), io.ErrShortWrite)
}

// The picture is the panel without the table round it, in the caption's greys.
func TestPictureIsThePanel(t *testing.T) {
	const o, g, x = quantity.Outside, quantity.Gap, quantity.NarrowGap
	n := quantity.Narrows{W: 5, H: 4, Share: .2, Cell: []quantity.Cell{
		o, o, o, o, o,
		o, g, x, o, o,
		o, quantity.Tile, g, g, o,
		o, o, o, o, o}}
	pic, err := DrawNarrow(&n, quantity.US)
	require.NoError(t, err)
	assert.Equal(t, [2]int{3, 2}, [2]int{pic.W, pic.H})
	assert.Equal(t, "Black: gaps under 1/16 in, hard to fill. Grey: pieces.", pic.Caption)
	img, err := png.Decode(bytes.NewReader(pic.PNG))
	require.NoError(t, err)
	grey := func(x, y int) uint8 { return color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y }
	assert.Zero(t, grey(1, 0), "narrow is black")
	assert.Less(t, grey(0, 1), grey(0, 0), "pieces are darker than gaps")
	assert.EqualValues(t, 255, grey(2, 0), "the table is white")
}
