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
	_, err = a.Learn(context.Background())
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
			_, err := a.Learn(context.Background())
			require.NoError(t, err)
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
	s := Stroke{Shows: ShowsGap + Shows(rng.IntN(3))}
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
