package sheet

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
	"gapshade/segment"
)

// doubts counts the hatched pixels of the picture in a box of the canned layout, in
// its characters.
func doubts(p *preview.Proof, img *image.Paletted, c0, r0, c1, r1 float64) (share float64) {
	n, all := 0, 0
	for row := r0 + .01; row < r1; row += .05 {
		for col := c0 + .01; col < c1; col += .05 {
			all++
			if placeAt(p, img, col, row) == trustDoubt {
				n++
			}
		}
	}
	return float64(n) / float64(all)
}

// By eye: cells of seven characters, the left one above in little doubt, the right
// one below in much. Hatching covers two px of fourteen, or of seven; tile 6 is cut.
func TestTrustShowsDoubtAndCutTiles(t *testing.T) {
	p := canned()
	p.Map.Tiles[5].Cut = true
	p.Map.Sure = segment.Sureness{W: 2, H: 2, CellPx: 7 * cannedUnit, Of: []uint8{150, 255, 255, 20}}
	img := NewMaps(p, 900).Trust()
	assert.InDelta(t, 2./14, doubts(p, img, 2, 2, 6, 6), .03)
	assert.InDelta(t, 2./7, doubts(p, img, 8, 7.2, 12, 7.9), .05)
	assert.Zero(t, doubts(p, img, 8, 2, 12, 6), "sure")
	assert.Equal(t, trustTile, placeAt(p, img, 9.5, 3), "tile 3")
	assert.Equal(t, trustCut, placeAt(p, img, 11, 6), "tile 6")
	assert.Equal(t, trustGap, placeAt(p, img, 7.5, 3), "gap 2|3")
	assert.Equal(t, trustGround, img.ColorIndexAt(0, 0), "outside the panel")
	for _, c := range img.Palette {
		r, g, b, _ := c.RGBA()
		require.True(t, r == g && g == b, "greys only")
	}
}

// A map without a grid is drawn without hatching.
func TestTrustOfAMapThatSaysNothing(t *testing.T) {
	img := NewMaps(canned(), 900).Trust()
	assert.NotContains(t, img.Pix, trustDoubt)
	assert.Contains(t, img.Pix, trustTile)
}
