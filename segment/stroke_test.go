package segment

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// flawed is a grid in which the finder makes mistakes: flaw says how much of tile
// it sees at a place, or a negative number for what is drawn there.
func flawed(g grid, flaw func(x, y float64) float64) *colormath.Picture {
	pic := g.picture()
	for y := range pic.H {
		for x := range pic.W {
			if t := flaw(float64(x), float64(y)); t >= 0 {
				pic.Set(x, y, colormath.LinearRGB{R: t, G: .1 + .5*t, B: .2 + .2*t})
			}
		}
	}
	return pic
}

// large is 6 × 5 tiles of 40 px with gaps of 8: the scale at which the finder looks
// again is the picture's own. Tile (c, r) holds the pixels from 38 + 48c to 77 + 48c and
// from 34 + 48r to 73 + 48r; joints hold the eight between.
func large() grid {
	return grid{w: 360, h: 310, x: 37.5, y: 33.5, cols: 6, rows: 5, tile: 40, gap: 8}
}

func (g grid) analyse(t *testing.T, pic *colormath.Picture, strokes ...Stroke) *Analysis {
	t.Helper()
	a, err := (&Finder{net: drawnNet{}}).Analyse(context.Background(), pic, Options{Panel: g.panel(4), Strokes: strokes})
	require.NoError(t, err)
	assertSound(t, a.Map())
	return a
}

// line is a stroke through places x, y, x, y …
func line(shows Shows, r float64, xy ...float64) Stroke {
	s := Stroke{Shows: shows}
	for i := 0; i < len(xy); i += 2 {
		s.Path = append(s.Path, Dab{Point{xy[i], xy[i+1]}, r})
	}
	return s
}

// stroke puts one on and checks that the map is the one that a run from the
// beginning gives for all strokes so far.
func (a *Analysis) stroke(t *testing.T, pic *colormath.Picture, g grid, s Stroke) {
	t.Helper()
	_, err := a.Stroke(s)
	require.NoError(t, err)
	assertSameMap(t, g.analyse(t, pic, a.Strokes()...).Map(), a.Map())
}

// gapAcross is the gap coverage summed along a line of the picture, px.
func gapAcross(m *Map, x0, x1, y int) (sum float64) {
	for x := x0; x < x1; x++ {
		sum += float64(m.Gap[y*m.W+x]) / 255
	}
	return sum
}

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

// A tile taken away by glare, seen to three tenths: one dab brings it back to its
// edges, and its neighbours stay as they are. Seen to three hundredths it has left no
// trace, and the dab is all there is.
func TestBlueDabBringsALostTileBack(t *testing.T) {
	g := large()
	pic := lostTile(g, .3)
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

// A corner cut off by an area of gap is a speck and goes to the gap, all of it, also
// where the stroke never came; when the area is closed again it is part of the tile.
func TestStrokeBringsASpeckBack(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	m := a.Map()
	corner := 84*m.W + 88 // 2 px into the tile both ways
	a.stroke(t, pic, g, line(ShowsGap, 13.5, 98.5, 94.5))
	require.Len(t, m.Tiles, 30)
	require.Equal(t, uint8(255), m.Gap[corner])
	require.NotEmpty(t, a.specks)
	a.stroke(t, pic, g, line(ShowsTile, 14, 98.5, 94.5))
	assert.Equal(t, m.Label[110*m.W+120], m.Label[corner])
	assert.Empty(t, a.specks)
	a.Undo()
	a.Undo()
	assertSameMap(t, g.analyse(t, pic).Map(), m)
}

// Off the panel a stroke changes nothing, and is taken off again all the same.
func TestStrokeOffThePanel(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	for _, s := range []Stroke{line(ShowsTile, 5, 8, 8), line(ShowsGap, 5, -500, -500, -400, -500), line(ShowsTile, 3, 1e5, 2)} {
		a.stroke(t, pic, g, s)
		assertSameMap(t, g.analyse(t, pic).Map(), a.Map())
	}
	assert.Len(t, a.Strokes(), 3)
	for range 3 {
		_, ok := a.Undo()
		require.True(t, ok)
	}
	_, ok := a.Undo()
	assert.False(t, ok, "nothing left")
}

func TestStrokesThatAreNone(t *testing.T) {
	g := large()
	a := g.analyse(t, g.picture())
	for name, s := range map[string]Stroke{
		"no disc":    {Shows: ShowsGap},
		"no kind":    line(0, 2, 5, 5),
		"no size":    line(ShowsGap, 0, 5, 5),
		"no place":   line(ShowsGap, 2, math.NaN(), 5),
		"no end":     line(ShowsTile, math.Inf(1), 5, 5),
		"no picture": line(ShowsTile, 2, 5, 1e9),
	} {
		_, err := a.Stroke(s)
		assert.Error(t, err, name)
		_, err = (&Finder{net: drawnNet{}}).Find(context.Background(), g.picture(), Options{Strokes: []Stroke{s}})
		assert.Error(t, err, name)
	}
	assert.Empty(t, a.Strokes())
}

// Whatever is painted, in whatever order: the map after every stroke is the map of
// a full run with the same strokes, to the last byte, and taking all of them off
// gives the first map back. The picture is a path-traced layout, small, with the
// panel's edge through its tiles.
func TestAnyStrokesEqualAFullRun(t *testing.T) {
	f, pic := realFinder(t), layoutPhoto(t)
	opt := Options{Panel: &Quad{{3, 3}, {415, 5}, {417, 335}, {5, 336}}, Threads: 2}
	a, err := f.Analyse(context.Background(), pic, opt)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(3, 1))
	const n = 40
	tiles := map[int]bool{}
	for k := range n {
		_, err := a.Stroke(anyStroke(rng, float64(pic.W), float64(pic.H)))
		require.NoError(t, err)
		assertSound(t, a.Map())
		tiles[len(a.Map().Tiles)] = true
		if k%8 == 7 {
			opt.Strokes, opt.Threads = a.Strokes(), 1+k%3
			full, err := f.Find(context.Background(), pic, opt)
			require.NoError(t, err)
			assertSameMap(t, full, a.Map())
		}
	}
	assert.Greater(t, len(tiles), 5, "strokes that do nothing prove nothing")
	for range n {
		_, ok := a.Undo()
		require.True(t, ok)
	}
	opt.Strokes = nil
	full, err := f.Find(context.Background(), pic, opt)
	require.NoError(t, err)
	assertSameMap(t, full, a.Map())
}

// The same where the view is coarser than the picture and the edges settle on the
// photo's own; no corners are given.
func TestAnyStrokesOnALargePicture(t *testing.T) {
	g := grid{w: 1300, h: 1000, x: 61.3, y: 44.6, cols: 11, rows: 8, tile: 90, gap: 17}
	pic, f := g.picture(), &Finder{net: drawnNet{}}
	a, err := f.Analyse(context.Background(), pic, Options{})
	require.NoError(t, err)
	require.NotNil(t, a.ev.settled)
	rng := rand.New(rand.NewPCG(8, 2))
	for range 12 {
		_, err := a.Stroke(anyStroke(rng, float64(g.w), float64(g.h)))
		require.NoError(t, err)
	}
	full, err := f.Find(context.Background(), pic, Options{Strokes: a.Strokes()})
	require.NoError(t, err)
	assertSameMap(t, full, a.Map())
	assert.NotEqual(t, 88, len(full.Tiles))
}

// anyStroke is a scribble of one to five discs, now and then far too large.
func anyStroke(rng *rand.Rand, w, h float64) Stroke {
	s := Stroke{Shows: ShowsGap + Shows(rng.IntN(2))}
	x, y, r := w*rng.Float64(), h*rng.Float64(), 1+8*rng.Float64()
	if rng.IntN(8) == 0 {
		r *= 5
	}
	for range 1 + rng.IntN(5) {
		s.Path = append(s.Path, Dab{Point{x, y}, r * (.8 + .4*rng.Float64())})
		x, y = x+80*(rng.Float64()-.5), y+80*(rng.Float64()-.5)
	}
	return s
}

// Once pieces were dropped for want of numbers, any stroke may free one, and all is
// done again; the map is the same as ever.
func TestStrokeAmongTooManyPieces(t *testing.T) {
	g := large()
	pic := g.picture()
	a := g.analyse(t, pic)
	a.crowded = true
	a.stroke(t, pic, g, line(ShowsGap, 2, 106, 82, 106, 122))
	assert.Len(t, a.Map().Tiles, 31)
}
