package segment

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
)

// mapped is the map of a drawn answer of the network ('#' tile, '.' gap), one view
// pixel per picture pixel, whose panel is a box of its pixels.
func mapped(t testing.TB, panel image.Rectangle, lines string) *Map {
	ev := seen(t, lines)
	a := &Analysis{m: &Map{W: ev.w, H: ev.h, PanelPx: float64(panel.Dx() * panel.Dy())}, ev: ev, threads: 1, inside: make([]bool, ev.w*ev.h)}
	for y := panel.Min.Y; y < panel.Max.Y; y++ {
		a.m.Inside = append(a.m.Inside, Span{y, panel.Min.X, panel.Max.X})
		for x := panel.Min.X; x < panel.Max.X; x++ {
			a.inside[y*ev.w+x] = true
		}
	}
	a.pieces()
	return a.m
}

// cutTiles draws each tile as 'c' when it counts as cut, else as 'o'.
func cutTiles(m *Map) string {
	out := make([]byte, 0, m.W*m.H)
	for i, l := range m.Label {
		if i > 0 && i%m.W == 0 {
			out = append(out, '\n')
		}
		switch {
		case l == 0:
			out = append(out, '.')
		case m.Tiles[l-1].Cut:
			out = append(out, 'c')
		default:
			out = append(out, 'o')
		}
	}
	return string(out)
}

// By eye: the picture's edge cuts the tiles of the first column and of the last row.
// The disc on the right touches the edge with one px of an outline of 32: not cut. The
// one below it lies on the edge with three of its 24 sides.
func TestCutByThePicturesEdge(t *testing.T) {
	m := mapped(t, image.Rect(0, 0, 20, 17), `
		....................
		####.######...##....
		####.######..####...
		####.######.######..
		####.######.#######.
		####.######.########
		####.######.#######.
		####.######.######..
		...............##...
		####.######.........
		####.######...#####.
		####.######..#######
		####.######..#######
		####.######..#######
		####.######...#####.
		....................
		....................`)
	assert.Equal(t, plain(`
		....................
		cccc.oooooo...oo....
		cccc.oooooo..oooo...
		cccc.oooooo.oooooo..
		cccc.oooooo.ooooooo.
		cccc.oooooo.oooooooo
		cccc.oooooo.ooooooo.
		cccc.oooooo.oooooo..
		...............oo...
		cccc.oooooo.........
		cccc.oooooo...ccccc.
		cccc.oooooo..ccccccc
		cccc.oooooo..ccccccc
		cccc.oooooo..ccccccc
		cccc.oooooo...ccccc.
		....................
		....................`), cutTiles(m))
	assert.Equal(t, 3, m.CutTiles())
}

// By eye: a panel from column 3 to 16 and from row 0 to 6 cuts the outer tiles, and
// what lies beyond it is nothing at all.
func TestCutByThePanelsEdge(t *testing.T) {
	m := mapped(t, image.Rect(3, 0, 17, 7), `
		....................
		#####.#####.########
		#####.#####.########
		#####.#####.########
		#####.#####.########
		#####.#####.########
		....................
		#####.#####.########`)
	assert.Equal(t, plain(`
		....................
		...cc.ooooo.ccccc...
		...cc.ooooo.ccccc...
		...cc.ooooo.ccccc...
		...cc.ooooo.ccccc...
		...cc.ooooo.ccccc...
		....................
		....................`), cutTiles(m))
}

// By eye and by hand: an outline counts every side of a pixel once, in bays and
// round holes too.
func TestOutlineOfATile(t *testing.T) {
	m := mapped(t, image.Rect(0, 0, 10, 7), `
		..........
		.########.
		.########.
		.###..###.
		.###..###.
		.###..###.
		..........`)
	assert.Equal(t, 2*8+2*5+2*3, m.outlinePx(1), "8 × 5 and a bay 3 deep")
}
