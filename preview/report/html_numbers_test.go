package report

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/preview"
)

// What the canned proof says about the panel as a whole, in words: two colours, the
// second of them worst under mid warm; a tie between the two shades; one distance.
func TestHTMLTellsTheWholePanel(t *testing.T) {
	text := strings.ReplaceAll(html.UnescapeString(render(t, FromProof(canned(), cannedFiles), cannedPage())), "\u00a0", " ")
	for _, want := range []string{
		"<b>Dark grey</b><br/>1 tile, 67 % of the tile area, in the middle", "<b>Mid grey</b><br/>1 tile, 33 % of the tile area, in the left half",
		"The panel with only the mid grey tiles shown: 1 tile in the left half.",
		"<b>▸ melts in</b> +1<small>1 of 1 lose their outline</small>", "<td>graphic +31</td>",
		"Tiles stand 16 mm from middle to middle: from about 3.6 m on",
		"from 2 m", "clear 12<small>1 piece of 2</small>", "all 2 pieces", "4 lighter", "grid of lines: faint",
		"as seen from 2 m", "as seen from 0.5 m<br/>(a piece of it)", `style="width:114.3mm"`, "This bar should be 50 mm long",
		"<small>≈ 1</small>", "aim met on the tiles", "lightness of the whole kept", "<td class=\"n\">40 %</td>",
	} {
		assert.True(t, strings.Contains(text, want), want)
	}
	assert.Equal(t, 1, strings.Count(text, "≈ 1</small>\n")+strings.Count(text, "too close to call: ≈ 1"), "a tie is told once with each shade")
}

// Without a size, distances and their pictures are left out with all their words.
func TestHTMLWithoutASize(t *testing.T) {
	p := canned()
	p.Frame.MmPerPx = 0
	for i := range p.Trials {
		p.Trials[i].At = nil
	}
	page := cannedPage()
	page.Glances = nil
	text := render(t, FromProof(p, cannedFiles), page)
	for _, bad := range []string{"across the room", "as seen from", "class=\"ruler\""} {
		assert.False(t, strings.Contains(text, bad), bad)
	}
	assert.Contains(t, text, "The colours of your tiles")
}

// The terms listed are those with a weight.
func TestTermsAreListed(t *testing.T) {
	for aim, n := range map[preview.Aim]int{preview.Outline: 3, preview.Balance: 5, preview.Blend: 2} {
		assert.Len(t, termViews(aim, Terms{}), n, aim)
	}
}

func TestPanelWords(t *testing.T) {
	assert.Equal(t, "5 lighter", shiftWords(4.6))
	assert.Equal(t, "3 darker", shiftWords(-2.9))
	assert.Equal(t, "the same", shiftWords(-.3))
	assert.Equal(t, []string{"none", "faint", "plain", "strong"}, []string{gridWords(.05), gridWords(.2), gridWords(.5), gridWords(.9)})
	assert.Equal(t, "all 1,800 pieces", piecesWords(1800, 1800))
	assert.Equal(t, "1,240 pieces of 1,800", piecesWords(1240, 1800))
	assert.Equal(t, "1 piece of 9", piecesWords(1, 9))
	assert.Equal(t, "0.5\u00a0m", metres(.5))
	assert.Equal(t, "2\u00a0m", metres(2))
	assert.Equal(t, "1.83\u00a0m", metres(1.8288))
	assert.Equal(t, "10\u00a0m", metres(10))
	assert.Equal(t, "", tieWords(&Shade{}, nil))
	assert.Equal(t, "≈ 1, 4", tieWords(&Shade{Ties: []string{"a", "b"}}, map[string]int{"a": 1, "b": 4}))
}
