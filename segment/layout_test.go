package segment

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// laid draws tiles of 20 px with gaps of 5 px wherever keep says so, on a sheet
// of bed that ends in a table, which the network takes for tile.
func laid(cols, rows int, table bool, keep func(c, r int) bool) *colormath.Picture {
	w, h := 25*cols+75, 25*rows+75
	return painted(w, h, func(x, y int) (r, g, b float64) {
		u, v := x-40, y-40
		c, d := u/25, v/25
		t := 0.
		switch {
		case table && (x < 12 || y < 12 || x >= w-12 || y >= h-12):
			t = 1
		case u >= 0 && v >= 0 && c < cols && d < rows && u%25 < 20 && v%25 < 20 && keep(c, d):
			t = 1
		}
		return t, .1 + .5*t, .2 + .2*t
	})
}

func findLaid(t *testing.T, pic *colormath.Picture) *Map {
	t.Helper()
	m, err := (&Finder{net: drawnNet{}}).Find(context.Background(), pic, Options{})
	require.NoError(t, err)
	assertSound(t, m)
	return m
}

// The table is one large piece that touches the picture's border: no tile, and no
// part of the panel.
func TestTheTableIsNoTile(t *testing.T) {
	m := findLaid(t, laid(8, 6, true, func(int, int) bool { return true }))
	assert.Len(t, m.Tiles, 48)
	assert.False(t, m.WholePicture)
	// 8 · 25 − 5 by 6 · 25 − 5 px of tiles and joints, and a shoulder round them
	// of no more than a gap
	assert.Greater(t, m.PanelPx, 195.*145)
	assert.Less(t, m.PanelPx, 205.*155)
}

// A layout in the shape of an L: its outline follows it, and the corner that is
// missing is no gap. 48 places less 4 × 3.
func TestTheOutlineFollowsAnL(t *testing.T) {
	m := findLaid(t, laid(8, 6, false, func(c, r int) bool { return c < 4 || r >= 3 }))
	assert.Len(t, m.Tiles, 36)
	assert.Greater(t, len(m.Outline), 4)
	assert.Less(t, m.PanelPx, .85*m.Panel.Area())
	in, _ := insideOf(m)
	assert.False(t, in[60*m.W+200], "in the missing corner")
	assert.True(t, in[60*m.W+60], "on the first tiles")
	assert.InDelta(t, 1-36*400/(36*625.), m.GapShare, .03, "as if it were a plain grid")
}

// A missing tile inside the layout is gap, and the panel stays four-sided.
func TestAMissingTileIsGap(t *testing.T) {
	m := findLaid(t, laid(8, 6, false, func(c, r int) bool { return c != 4 || r != 3 }))
	assert.Len(t, m.Tiles, 47)
	assert.Len(t, m.Outline, 4)
	in, _ := insideOf(m)
	hole := (40+3*25+10)*m.W + 40 + 4*25 + 10
	assert.True(t, in[hole])
	assert.Equal(t, uint8(255), m.Gap[hole])
}

// Tiles put aside next to the layout belong to no panel.
func TestTheLargestPatchIsThePanel(t *testing.T) {
	m := findLaid(t, laid(12, 6, false, func(c, r int) bool { return c < 8 || c >= 11 && r < 3 }))
	assert.Len(t, m.Tiles, 48)
	assert.Less(t, m.Panel[1].X, 260.)
}
