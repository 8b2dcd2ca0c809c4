package segment

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// A joint that the finder missed without a trace, painted roughly with a thin
// brush that stops short at both ends: two tiles, and between them a gap as wide
// as the others, though the brush was 4 px wide. 30 tiles, one joint missed.
func TestRedStrokeOpensAMissedJoint(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x >= 126 && x < 134 && y > 82 && y < 122 { // between the second and third tile of the second row
			return 1
		}
		return -1
	})
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 29)
	a.stroke(t, pic, g, line(ShowsGap, 2, 131, 88, 129, 100, 130, 115))
	require.Len(t, a.Map().Tiles, 30)
	for _, y := range []int{92, 100, 110} {
		assert.InDelta(t, 8, gapAcross(a.Map(), 110, 150, y), 1, "row %d", y)
	}
	assert.Contains(t, widthsOf(a.Map()), [2]int{8, 9}, "the two face each other")
	_, back := a.Undo()
	require.True(t, back)
	assertSameMap(t, g.analyse(t, pic).Map(), a.Map())
}

func widthsOf(m *Map) map[[2]int]float64 {
	out := map[[2]int]float64{}
	for _, b := range m.Borders {
		out[[2]int{b.A, b.B}] = b.WidthPx
	}
	return out
}

// Where the finder saw the joint faintly, the stroke is laid into it: painted
// three px beside it, it opens where the trace is, as wide as the trace (5 px
// here), not as wide as the middle gap (8 px).
func TestRedStrokeSnapsToAFaintTrace(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x < 126 || x >= 134 || y <= 82 || y >= 122 {
			return -1
		}
		if x >= 127 && x < 132 {
			return .7
		}
		return 1
	})
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 29)
	a.stroke(t, pic, g, line(ShowsGap, 3, 133, 85, 132, 118))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	for _, y := range []int{92, 100, 110} {
		assert.InDelta(t, 5, gapAcross(m, 110, 150, y), 1.2)
		assert.Equal(t, uint8(255), m.Gap[y*m.W+129], "in the middle of the trace")
		assert.Less(t, m.Gap[y*m.W+135], uint8(60), "not under the brush's far side")
	}
}

// One dab in the middle of a joint that was seen to three tenths and no more opens all of
// it, to the joints at both ends and as wide as it was seen (5 px); a like dab in the
// middle of a tile, where nothing leads anywhere, stays what it is.
func TestRedDabOpensAFaintJoint(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x < 126 || x >= 134 || y <= 82 || y >= 122 {
			return -1
		}
		if x >= 127 && x < 132 {
			return .7
		}
		return 1
	})
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 29)
	a.stroke(t, pic, g, line(ShowsGap, 2, 130, 102))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	for _, y := range []int{85, 92, 102, 112, 119} {
		assert.InDelta(t, 5, gapAcross(m, 110, 150, y), 1.2, "row %d", y)
	}
	a.stroke(t, pic, g, line(ShowsGap, 2, 250, 102))
	assert.Len(t, a.Map().Tiles, 30)
	assert.Zero(t, gapAcross(a.Map(), 232, 268, 112), "10 px below the dab")
}

// A bridge of tile over a joint (a crumb, a chip) is cut by one dab, which leads
// to the gap on both sides.
func TestRedDabCutsABridge(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x >= 126 && x < 134 && y > 96 && y < 108 {
			return 1
		}
		return -1
	})
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 29)
	a.stroke(t, pic, g, line(ShowsGap, 2, 130, 101))
	assert.Len(t, a.Map().Tiles, 30)
	assert.InDelta(t, 8, gapAcross(a.Map(), 110, 150, 101), 1)
}

// A dab on bare bed in a tile's corner, within reach of the joints on two sides: they are
// joined, and the place that was dabbed becomes gap, not only the line between them.
func TestRedDabOpensItsOwnPlace(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	a.stroke(t, pic, g, line(ShowsGap, 8, 114, 110)) // the tile ends at 126 and 122
	m := a.Map()
	for _, d := range [][2]int{{0, 0}, {-3, 0}, {3, 0}, {0, -3}, {0, 3}} {
		assert.Greater(t, m.Gap[(110+d[1])*m.W+114+d[0]], uint8(250), "at %v", d)
	}
	assert.Less(t, m.Gap[102*m.W+98], uint8(10), "and no more than was dabbed")
}

// A piece of the bed taken for a tile goes under a dab that covers most of it, to
// its edge; a brush as wide as that is an area and takes as much as it covers.
func TestRedTakesAPieceThatIsNone(t *testing.T) {
	g := large()
	g.cols = 5 // room for a false tile of 24 px where the last column was
	pic := flawed(g, func(x, y float64) float64 {
		if x >= 290 && x < 314 && y >= 90 && y < 114 {
			return 1
		}
		return -1
	})
	g.cols = 6
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 26)
	a.stroke(t, pic, g, line(ShowsGap, 11, 302, 101))
	assert.Len(t, a.Map().Tiles, 25)
	assert.Equal(t, 24., gapAcross(a.Map(), 290, 314, 91), "to the edge, beyond the brush")
}

func TestWideRedBrushIsAnArea(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	// a tile's half, 20 px of its 40, under a brush of 26 px across
	a.stroke(t, pic, g, line(ShowsGap, 13, 93, 90, 93, 115))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	assert.InDelta(t, 8+20, gapAcross(m, 60, 126, 102), 1)
}

// Glare has burnt a hole into a tile that is too large to be closed unasked, and
// one that opens into the joint. A dab in the first closes it to its edge, with the
// soft rim round it; a stroke through the second fills it and leaves the joint.
func TestBlueDabClosesAHole(t *testing.T) {
	g := large()
	hole := func(x, y float64) float64 { // 18 px in radius, with a soft edge of 4
		return min(max((math.Hypot(x-106, y-102)-18)/4+.5, 0), 1)
	}
	pic := flawed(g, func(x, y float64) float64 {
		if math.Hypot(x-106, y-102) < 20 && x > 86 && x < 126 && y > 82 && y < 122 {
			return hole(x, y)
		}
		return -1
	})
	a := g.analyse(t, pic)
	require.Equal(t, uint8(255), a.Map().Gap[102*360+106])
	a.stroke(t, pic, g, line(ShowsTile, 3, 104, 100))
	m := a.Map()
	assert.Len(t, m.Tiles, 30)
	for y := 84; y < 120; y++ {
		for x := 88; x < 124; x++ {
			require.Zero(t, m.Gap[y*m.W+x], "%d, %d", x, y)
		}
	}
	assert.InDelta(t, 1600, m.Tiles[7].AreaPx, 16)
}

func TestBlueStrokeFillsABay(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x >= 84 && x < 106 && y > 96 && y < 106 { // a bay 10 px wide, 20 deep, open to the joint at 86
			return 0
		}
		return -1
	})
	a := g.analyse(t, pic)
	before := a.Map().Tiles[7].AreaPx
	a.stroke(t, pic, g, line(ShowsTile, 4, 90, 101, 104, 101))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	assert.InDelta(t, 1600, m.Tiles[7].AreaPx, 20)
	assert.Less(t, before, 1430., "10 by 18 px of it were lost")
	for _, y := range []int{98, 101, 104} {
		assert.InDelta(t, 8, gapAcross(m, 70, 126, y), 1.5, "the joint is left as it was")
	}
}

// A stroke on a tile that strays over the joint by a px takes that px and no more.
func TestBlueStrokeOnlyGrazesAJoint(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	a.stroke(t, pic, g, line(ShowsTile, 4, 121.5, 90, 121.5, 115)) // reaches to 125.5; the joint begins at 126
	a.stroke(t, pic, g, line(ShowsTile, 4, 123, 90, 123, 115))
	require.Len(t, a.Map().Tiles, 30)
	assert.InDelta(t, 7, gapAcross(a.Map(), 110, 150, 102), .7)
}

// A crack across a tile is no joint: painted over along its length it closes, and
// two tiles are one again.
func TestBlueStrokeClosesAFalseJoint(t *testing.T) {
	g := large()
	pic := flawed(g, func(x, y float64) float64 {
		if x >= 103 && x < 108 && y > 80 && y < 124 {
			return 0
		}
		return -1
	})
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 31)
	a.stroke(t, pic, g, line(ShowsTile, 2, 105, 85, 105, 119))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	assert.Zero(t, gapAcross(m, 90, 122, 102))
	// the joints above and below keep their width beside the crack's mouth
	for _, y := range []int{75, 77, 79, 125, 127, 129} {
		assert.Equal(t, uint8(255), m.Gap[y*m.W+105], "row %d", y)
	}
}

// lostTile draws the large grid with the second tile of the second row seen softly.
func lostTile(g grid, seen float64) *colormath.Picture {
	return flawed(g, func(x, y float64) float64 {
		if x >= 86 && x < 126 && y >= 82 && y < 122 {
			return seen * (1 + .4*math.Sin(x)*math.Cos(1.3*y)) // blotchy
		}
		return -1
	})
}

// A tile taken away by glare, seen to two tenths: one dab brings it back to its
// edges, and its neighbours stay as they are. Seen to three hundredths it has left no
// trace, and the dab is all there is.
func TestBlueDabBringsALostTileBack(t *testing.T) {
	g := large()
	pic := lostTile(g, .2)
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 29)
	before := a.Map().Tiles[6]
	a.stroke(t, pic, g, line(ShowsTile, 4, 102, 105))
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	assert.InDelta(t, 1600, m.Tiles[7].AreaPx, 160, "corners come out round")
	assert.Equal(t, before, m.Tiles[6], "the tile on its left")
	for _, x := range []int{79, 82, 84, 127, 130, 132} {
		assert.Equal(t, uint8(255), m.Gap[102*m.W+x], "joint at %d", x)
	}

	pic = lostTile(g, .03)
	a = g.analyse(t, pic)
	a.stroke(t, pic, g, line(ShowsTile, 4, 102, 105))
	require.Len(t, a.Map().Tiles, 30)
	m = a.Map()
	assert.InDelta(t, math.Pi*16, m.Tiles[m.Label[105*m.W+102]-1].AreaPx, 8)
}

// A tile of 5 px is under the speck limit (3 % of 1,600 px² is 48), but the person
// says that it is one.
func TestBlueMakesATileHoweverSmall(t *testing.T) {
	g := large()
	g.cols = 5
	pic := g.picture()
	g.cols = 6
	a := g.analyse(t, pic)
	require.Len(t, a.Map().Tiles, 25)
	a.stroke(t, pic, g, line(ShowsTile, 2.5, 300, 101))
	require.Len(t, a.Map().Tiles, 26)
	a.stroke(t, pic, g, line(ShowsGap, 2.5, 300, 101))
	assert.Len(t, a.Map().Tiles, 25)
}
