package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"html"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/contrast"
	"gapshade/segment"
)

// cannedPage has a picture in every place.
func cannedPage() Page {
	pic := func(kind string) *Picture { return &Picture{Type: kind, Data: []byte("picture"), W: 70, H: 50} }
	return Page{
		Title: "Lemons for Anna", Aim: "balance", Sheet: pic("image/jpeg"), Trust: pic("image/png"),
		Preview: map[string]*Picture{"mid-warm": pic("image/jpeg"), "near-black": pic("image/jpeg")},
		Merged:  map[string]*Picture{"mid-warm": pic("image/png"), "near-black": pic("image/png")},

		Clusters: []*Picture{pic("image/jpeg"), pic("image/jpeg")},
		Glances:  map[string][]Glance{"mid-warm": {{DistanceM: 2, WidthMm: 114.26, Picture: pic("image/jpeg")}, {DistanceM: .5, WidthMm: 64, Cut: true, Picture: pic("image/jpeg")}}},
	}
}

func render(t *testing.T, r Report, page Page) string {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, HTML(&buf, r, page))
	return buf.String()
}

type element struct {
	name string
	attr map[string]string
}

// elements parses the page as XML, which HTML of this plain kind also is, so
// that every tag must be closed in its place.
func elements(t *testing.T, page string) []element {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Entity = xml.HTMLEntity
	var out []element
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
	text := render(t, FromProof(canned(), cannedFiles), cannedPage())
	for _, e := range elements(t, text) {
		assert.NotContains(t, []string{"script", "link", "iframe", "object", "embed", "form", "base"}, e.name)
		for k, v := range e.attr {
			assert.False(t, strings.HasPrefix(k, "on"), "%s has %s", e.name, k)
			switch k {
			case "src":
				assert.True(t, strings.HasPrefix(v, "data:image/"), v)
			case "href":
				assert.True(t, strings.HasPrefix(v, "#"), v)
			}
		}
	}
	assert.Contains(t, text, `content="default-src 'none'; img-src data:; style-src 'unsafe-inline'"`)
	for _, bad := range []string{"http://", "https://", "file:", "url(", "@import", "ZgotmplZ", "<no value>"} {
		assert.False(t, strings.Contains(text, bad), bad)
	}
}

func TestHTMLIsAccessible(t *testing.T) {
	all := elements(t, render(t, FromProof(canned(), cannedFiles), cannedPage()))
	ids, images, headings := map[string]bool{}, 0, 0
	for _, e := range all {
		if id := e.attr["id"]; id != "" {
			assert.False(t, ids[id], "id %s stands twice", id)
			ids[id] = true
		}
		switch e.name {
		case "html":
			assert.Equal(t, "en", e.attr["lang"])
		case "img":
			images++
			assert.Greater(t, len(e.attr["alt"]), 10)
			assert.NotEmpty(t, e.attr["width"], "room is kept while it loads")
		case "svg":
			assert.NotEmpty(t, e.attr["aria-label"])
		case "th":
			assert.NotEmpty(t, e.attr["scope"])
		case "h1":
			headings++
		}
	}
	assert.Equal(t, 10, images, "the sheet; a preview and a map for each shade; the map of confidence; two colours of tiles; two glances")
	assert.Equal(t, 1, headings, "one main heading")
	for _, e := range all {
		if to := e.attr["href"]; to != "" {
			assert.True(t, ids[to[1:]], "%s leads nowhere", to)
		}
	}
}

// The numbers of the canned proof, in words.
func TestHTMLTellsTheNumbers(t *testing.T) {
	text := html.UnescapeString(render(t, FromProof(canned(), cannedFiles), cannedPage()))
	for _, want := range []string{
		"<h1>Lemons for Anna</h1>", "best first for <b>balance</b>: the joint is seen, the picture leads",
		"First choice: mid warm", "Lighter than every piece.", "lighter than the tiles",
		"+16", "+1 to +31", "−20", "preview-mid-warm.jpg", "#97938c",
		"lemons.jpg, 50 × 40 px, jpeg", "2 tiles, 1 of them cut at the edge, the middle one 150 mm²", "25 % of the panel, 1.2 cm²",
		"3.0 mm in the middle", "Too little bed shows.", "hatched where they were in doubt", "White tiles are cut at the edge.",
	} {
		assert.True(t, strings.Contains(text, want), want) // Contains would print the whole page
	}
	assert.Less(t, strings.Index(text, "data:image"), strings.Index(text, "First choice"), "the large picture comes first")
}

// The page never calls a damp joint cured.
func TestHTMLNamesTheState(t *testing.T) {
	r := FromProof(canned(), nil)
	assert.Contains(t, render(t, r, cannedPage()), "All shades cured and dry")
	r.Joint.State = "damp"
	page := render(t, r, cannedPage())
	assert.Contains(t, page, "All shades damp, as on the day")
	assert.NotContains(t, page, "cured and dry")
}

func TestHTMLIsTheSameEveryTime(t *testing.T) {
	r := FromProof(canned(), cannedFiles)
	assert.Equal(t, render(t, r, cannedPage()), render(t, r, cannedPage()))
}

// Text from outside is text.
func TestHTMLEscapes(t *testing.T) {
	const attack = `"><script>alert(1)</script><img src=x onerror=alert(1)>'`
	p := canned()
	p.Photo.Name, p.Photo.Profile = attack+".jpg", attack
	p.Notes[0].Text, p.Trials[0].Reason = attack, attack
	page := cannedPage()
	page.Title = attack
	page.Sheet.Type = `image/svg+xml"><script>`
	text := render(t, FromProof(p, cannedFiles), page)
	assert.NotContains(t, text, "<script")
	assert.NotContains(t, text, "<img src=x")
	elements(t, text)
	assert.NotRegexp(t, regexp.MustCompile(`<h1>[^<]*[">]`), text)
	assert.Equal(t, 9, strings.Count(text, "<img "), "a picture of another type is left out")
}

// States with little to show must still be whole pages.
func TestHTMLOfLittle(t *testing.T) {
	p := canned()
	p.Trials, p.Notes, p.Frame.MmPerPx = p.Trials[:1], nil, 0
	p.Map.Sure, p.Map.Tiles[1].Cut = segment.Sureness{}, false
	text := render(t, FromProof(p, nil), Page{Aim: "outline"})
	elements(t, text)
	assert.Contains(t, text, "<h1>lemons</h1>")
	assert.Contains(t, text, "Grout preview of 1 shade.")
	assert.NotContains(t, text, "<figure")
	assert.Equal(t, "How far to trust the gaps: they were sure everywhere.", trustWords(new(FromProof(p, nil))))
	p.Trials = nil
	elements(t, render(t, FromProof(p, nil), Page{}))
}

// The page explains the words with the limits that contrast uses.
func TestWordLimits(t *testing.T) {
	words := []string{"melts in", "soft", "clear", "graphic"}
	for i, limit := range wordLimits {
		assert.Equal(t, words[i], contrast.Word(float64(limit)-.01))
		assert.Equal(t, words[i+1], contrast.Word(float64(limit)+.01))
	}
}

// Arithmetic: −34 to +31 makes an axis from −40 to 40, 770 units long from 170;
// 0 stands in the middle at 555, the zone of ±10 is 192 wide.
func TestChart(t *testing.T) {
	c := newChart(FromProof(canned(), nil).Shades)
	assert.Equal(t, 555, c.ZeroX)
	assert.InDelta(t, 192, c.Zone.W, 1)
	require.Len(t, c.Rows, 2)
	assert.InDelta(t, 555+770./80*1, c.Rows[0].Bar.X, 1)
	assert.InDelta(t, 770./80*30, c.Rows[0].Bar.W, 1)
	assert.Equal(t, "−40", c.Ticks[0].Text)
	assert.Len(t, c.Ticks, 5)
}

// Text keeps the contrast that WCAG 2.1 asks for (4.5) on every ground it
// stands on, in light, in dark and on paper.
func TestCSSContrast(t *testing.T) {
	schemes := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(pageCSS, -1)
	require.Len(t, schemes, 3, "light, dark, print")
	vars := map[string]string{}
	for _, s := range schemes { // a later scheme keeps what it does not set
		for _, m := range regexp.MustCompile(`--([a-z-]+):(#[0-9a-f]+)`).FindAllStringSubmatch(s[1], -1) {
			vars[m[1]] = m[2]
		}
		for _, pair := range [][2]string{{"ink", "paper"}, {"quiet", "paper"}, {"ink", "card"}, {"quiet", "card"}, {"on-booth", "booth"}} {
			a, err := colormath.ParseHex(vars[pair[0]])
			require.NoError(t, err)
			b, err := colormath.ParseHex(vars[pair[1]])
			require.NoError(t, err)
			assert.Greater(t, colormath.DisplayRatio(a.Lab(), b.Lab()), 4.5, "%v in %s", pair, s[1])
		}
	}
}
