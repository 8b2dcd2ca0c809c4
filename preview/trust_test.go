package preview

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/segment"
)

// By eye, on a panel of 300 × 150 px whose corner is at 100, 50.
func TestPlacesInWords(t *testing.T) {
	q := &segment.Quad{{X: 100, Y: 50}, {X: 400, Y: 50}, {X: 400, Y: 200}, {X: 100, Y: 200}}
	for want, at := range map[string]image.Point{
		"upper left": {120, 60}, "top": {250, 70}, "upper right": {390, 80},
		"left": {130, 120}, "middle": {250, 125}, "right": {399, 130},
		"lower left": {101, 199}, "bottom": {240, 180}, "lower right": {400, 200},
	} {
		assert.Equal(t, want, ninthOf(q, image.Rect(at.X-5, at.Y-5, at.X+5, at.Y+5)))
	}
	assert.Equal(t, "lower right", ninthOf(q, image.Rect(900, 900, 910, 910)), "rounding may lead out of the panel")
}

func regionNotes(of ...uint8) []Note {
	p := &Proof{Map: &segment.Map{Panel: segment.Quad{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 20}, {X: 0, Y: 20}},
		Sure: segment.Sureness{W: 4, H: 2, CellPx: 10, Of: of}}}
	p.noteRegions()
	return p.Notes
}

func TestNoteNamesTheWorstRegion(t *testing.T) {
	assert.Empty(t, regionNotes(255, 255, 255, 255, 210, 220, 230, 240))
	assert.Empty(t, regionNotes(255, 255, 255, 255, 10, 220, 230, 240), "one cell is too small to point at")
	got := regionNotes(255, 255, 255, 255, 102, 102, 255, 255)
	require.Len(t, got, 1)
	assert.Equal(t, "unsure-region", got[0].Code)
	assert.Contains(t, got[0].Text, "least sure at the lower left, with confidence 0.40 there")
	assert.Contains(t, regionNotes(80, 80, 80, 255, 90, 90, 255, 0)[0].Text, "over most of the panel")
}
