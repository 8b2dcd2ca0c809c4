package sheet

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/segment"
)

// at reads the middle of a character of the canned layout.
func at(img *image.Paletted, col, row int) color.NRGBA {
	return color.NRGBAModel.Convert(img.At(col*cannedUnit+cannedUnit/2, row*cannedUnit+cannedUnit/2)).(color.NRGBA)
}

// Tiles that merge are tinted, each group in its own colour, one that is lost alone
// in grey; all else is see-through, so that the photo shows below.
func TestLayMerged(t *testing.T) {
	img := LayMerged(canned(), 0)
	assert.Equal(t, image.Rect(0, 0, 14*cannedUnit, 9*cannedUnit), img.Rect)
	one, two, three, five := at(img, 2, 2), at(img, 5, 2), at(img, 8, 2), at(img, 7, 5)
	assert.Equal(t, one, two)
	assert.NotEqual(t, one, five, "groups that face each other differ")
	assert.True(t, three.R == three.G && three.G == three.B && three.A > 0)
	for _, p := range [][2]int{{3, 5}, {4, 2}, {0, 0}} { // a tile that keeps its outline, a gap, outside
		assert.Zero(t, at(img, p[0], p[1]).A)
	}
	for _, v := range LayMerged(canned(), 1).Pix {
		if v != 0 {
			t.Fatal("nothing merges under near-black")
		}
	}
}

// The other layers, at one place each.
func TestLayers(t *testing.T) {
	p, c := canned(), color.NRGBA{200, 10, 20, 255}
	gaps := LayGaps(p, c, 0)
	assert.Equal(t, c, at(gaps, 4, 2))
	assert.Zero(t, at(gaps, 2, 2).A)
	assert.Zero(t, at(gaps, 0, 0).A)

	lines := LayOutlines(p, c)
	left := 2 * cannedUnit // of tile 1
	y := 2*cannedUnit + cannedUnit
	assert.Equal(t, c, color.NRGBAModel.Convert(lines.At(left, y)))
	assert.Zero(t, lines.ColorIndexAt(left-1, y), "on the tile's side")
	assert.Zero(t, lines.ColorIndexAt(left+1, y), "one px wide")

	p.Map.Sure = segment.Sureness{W: 2, H: 1, CellPx: 140, Of: []uint8{255, 60}}
	sure := LaySure(p, c)
	assert.Zero(t, at(sure, 2, 2).A)
	assert.Greater(t, at(sure, 10, 2).A, uint8(100))
	assert.Zero(t, at(sure, 13, 0).A, "outside the panel nothing is said")
}
