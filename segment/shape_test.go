package segment

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// Layouts of these tests are drawn with one character per tile: 17 px with a gap of
// 3 px, so a shoulder of 1.5 px, and 24 px of bare bed all round.
const laidPitch, laidTile, laidGap, laidMargin = 20, 17, 3, 24

// pictureOf is the picture of a drawn layout, turned by some degrees about its middle.
func pictureOf(lines string, degrees float64) *colormath.Picture {
	rows := strings.Fields(lines)
	inW, inH := float64(len(rows[0])*laidPitch-laidGap), float64(len(rows)*laidPitch-laidGap)
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	w := int(inW*cos+inH*math.Abs(sin)) + 2*laidMargin
	h := int(inH*cos+inW*math.Abs(sin)) + 2*laidMargin
	tileAt := func(x, y float64) bool {
		dx, dy := x-float64(w)/2+.5, y-float64(h)/2+.5
		u, v := dx*cos+dy*sin+inW/2, dy*cos-dx*sin+inH/2
		i, j := int(math.Floor(u/laidPitch)), int(math.Floor(v/laidPitch))
		return i >= 0 && j >= 0 && j < len(rows) && i < len(rows[j]) && rows[j][i] == '#' &&
			u-float64(i*laidPitch) < laidTile && v-float64(j*laidPitch) < laidTile
	}
	return painted(w, h, func(x, y int) (r, g, b float64) {
		t := 0.
		for k := range 16 { // samples of a pixel
			if tileAt(float64(x)-.375+.25*float64(k%4), float64(y)-.375+.25*float64(k/4)) {
				t += 1. / 16
			}
		}
		return t, .1 + .5*t, .2 + .2*t
	})
}

func foundIn(t *testing.T, lines string, degrees float64) *Map {
	t.Helper()
	m, err := (&Finder{net: drawnNet{}}).Find(context.Background(), pictureOf(lines, degrees), Options{})
	require.NoError(t, err)
	assertSound(t, m)
	require.False(t, m.WholePicture)
	require.Len(t, m.Tiles, strings.Count(lines, "#"))
	return m
}

const (
	roundLayout = `
		.....######.....
		...##########...
		..############..
		.##############.
		.##############.
		################
		################
		################
		################
		################
		################
		.##############.
		.##############.
		..############..
		...##########...
		.....######.....`
	ovalLayout = `
		......########......
		...##############...
		.##################.
		.##################.
		####################
		####################
		####################
		.##################.
		.##################.
		...##############...
		......########......`
	lLayout = `
		######........
		######........
		######........
		######........
		##############
		##############
		##############
		##############`
	uLayout = `
		####..........####
		####..........####
		####..........####
		####..........####
		####..........####
		####..........####
		##################
		##################
		##################
		##################
		##################
		##################`
	triangleLayout = `
		.......##.......
		......####......
		.....######.....
		....########....
		...##########...
		..############..
		.##############.
		################`
	framed = `
		################
		################
		################
		################
		####........####
		####........####
		####........####
		####........####
		####........####
		####........####
		################
		################
		################
		################`
)

// A rectangle stays one however its rim is ragged and whatever is missing: every second
// row begins half a brick further in, pieces are left out at sides, corners and inside.
func TestFourCorners(t *testing.T) {
	for name, lines := range map[string]string{
		"whole": `
			##########
			##########
			##########
			##########
			##########
			##########`,
		"bond": `
			##########
			.########.
			##########
			.########.
			##########
			.########.
			##########`,
		"pieces missing at the rim": `
			.#########
			##########
			#########.
			#########.
			##########
			##########
			####..####`,
		"pieces missing inside": `
			############
			##.####..###
			#######.####
			#####.######
			#.######.###
			######..####
			##.#####.###
			############`,
	} {
		for _, degrees := range []float64{0, 4, -11} {
			m := foundIn(t, lines, degrees)
			assert.False(t, m.Free, "%s, turned by %g°", name, degrees)
			assert.Equal(t, m.Panel[:], m.Outline, name)
			assert.Empty(t, m.Holes, "%s: bare bed inside is gap", name)
		}
	}
}

// The oracle is the map itself: the outline's area is that of the drawn places with
// their shoulders, a pitch a tile, give or take the steps of its rim, which are
// bridged as a missing piece is; its box is that of the tiles and the shoulder.
func TestFreeOutlines(t *testing.T) {
	for name, lines := range map[string]string{"round": roundLayout, "oval": ovalLayout, "L": lLayout, "U": uLayout, "triangle": triangleLayout} {
		m := foundIn(t, lines, 0)
		assert.True(t, m.Free, name)
		assert.Empty(t, m.Holes, name)
		want := float64(strings.Count(lines, "#") * laidPitch * laidPitch)
		assert.InEpsilon(t, want, polygonArea(m.Outline), .04, name)
		assert.InEpsilon(t, want, m.PanelPx, .04, name)
		rows := strings.Fields(lines)
		box := Quad{{laidMargin - .5, laidMargin - .5}, {}, {}, {}}
		right, low := laidMargin-.5+float64(len(rows[0])*laidPitch), laidMargin-.5+float64(len(rows)*laidPitch)
		box[0].X, box[0].Y = box[0].X-laidGap/2., box[0].Y-laidGap/2.
		box[2] = Point{right - laidGap/2., low - laidGap/2.}
		for _, i := range []int{0, 2} {
			assert.InDelta(t, box[i].X, m.Panel[i].X, 1, "%s, corner %d", name, i)
			assert.InDelta(t, box[i].Y, m.Panel[i].Y, 1, "%s, corner %d", name, i)
		}
		assert.Equal(t, boxQuad(m.Outline), m.Panel, name)
	}
}

// Pieces missing at a round rim are missing too: the outline runs on past them.
func TestMissingPiecesAtAFreeRim(t *testing.T) {
	whole := foundIn(t, roundLayout, 0)
	rows := strings.Fields(roundLayout)
	rows[0] = ".....##.###....."
	rows[7] = "." + rows[7][1:]
	rows[8] = rows[8][:15] + "."
	m := foundIn(t, strings.Join(rows, "\n"), 0)
	assert.True(t, m.Free)
	assert.InEpsilon(t, whole.PanelPx, m.PanelPx, .006, "a piece is .005 of it")
	assert.Less(t, whole.GapShare+.008, m.GapShare, "and bare bed is gap")
}

// By eye: a bay of 2 px is closed by a disc of 1.5 px, one of 5 px isn't, and beside the
// picture's edge is bare ground like any other.
func TestClosed(t *testing.T) {
	w, h, on := mask(t, `
		.............
		.###..##....#
		.###..##....#
		.############
		.############`)
	assert.Equal(t, plain(`
		.............
		.#######....#
		.#######....#
		.############
		.############`), shown(w, closed(w, h, on, 1.5)))
}

// Turned, a free outline keeps its area, and its box stays along the picture's sides.
func TestAFreeOutlineTurned(t *testing.T) {
	for _, lines := range []string{roundLayout, lLayout} {
		m := foundIn(t, lines, 23)
		assert.True(t, m.Free)
		assert.InEpsilon(t, strings.Count(lines, "#")*laidPitch*laidPitch, polygonArea(m.Outline), .03)
		assert.Equal(t, m.Panel[0].Y, m.Panel[1].Y)
		assert.Equal(t, m.Panel[1].X, m.Panel[2].X)
	}
}

// A frame round a mirror: 8 × 6 places are left out, less the shoulder all round. They
// are no gap, in no share, and the frame has its four corners.
func TestAnOpeningIsOutsideThePanel(t *testing.T) {
	m := foundIn(t, framed, 0)
	assert.False(t, m.Free)
	require.Len(t, m.Holes, 1)
	assert.InEpsilon(t, 8*6*laidPitch*laidPitch, polygonArea(m.Holes[0]), .03)
	assert.InEpsilon(t, strings.Count(framed, "#")*laidPitch*laidPitch, m.PanelPx, .02)
	assert.InDelta(t, 1-17.*17/20/20, m.GapShare, .02)
	middle := m.H/2*m.W + m.W/2
	assert.Zero(t, m.Gap[middle])
}

// A ring is free and has its opening.
func TestARing(t *testing.T) {
	rows := strings.Fields(roundLayout)
	for y := 5; y < 11; y++ {
		rows[y] = rows[y][:5] + "......" + rows[y][11:]
	}
	ring := strings.Join(rows, "\n")
	m := foundIn(t, ring, 0)
	assert.True(t, m.Free)
	require.Len(t, m.Holes, 1)
	assert.InEpsilon(t, strings.Count(ring, "#")*laidPitch*laidPitch, m.PanelPx, .03)
}

// Three by three pieces that are missing are missing: under four tiles across nothing
// is taken for an opening.
func TestMissingPiecesAreNoOpening(t *testing.T) {
	m := foundIn(t, `
		##############
		##############
		##############
		#####...######
		#####...######
		#####...######
		##############
		##############
		##############`, 0)
	assert.False(t, m.Free)
	assert.Empty(t, m.Holes)
	assert.EqualValues(t, 255, m.Gap[(laidMargin+4*laidPitch+8)*m.W+laidMargin+6*laidPitch+8], "bare bed that grout will cover")
}

// A stroke that shows outside takes more away; the opening stays, and undoing brings
// back what was there.
func TestStrokesBesideAnOpening(t *testing.T) {
	a, err := (&Finder{net: drawnNet{}}).Analyse(context.Background(), pictureOf(framed, 0), Options{})
	require.NoError(t, err)
	before, gap := a.Map().PanelPx, a.Map().GapShare
	_, err = a.Stroke(Stroke{Shows: ShowsOutside, Path: []Dab{{Point{30, 30}, 6}}})
	require.NoError(t, err)
	assert.InDelta(t, before-math.Pi*36, a.Map().PanelPx, 10)
	_, ok := a.Undo()
	require.True(t, ok)
	assert.Equal(t, before, a.Map().PanelPx)
	assert.Equal(t, gap, a.Map().GapShare)
}

// By arithmetic, on a square of 10: every side 2 further out.
func TestGrownOutline(t *testing.T) {
	square := []Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
	got := grown(square, 2)
	for i, want := range []Point{{-2, -2}, {12, -2}, {12, 12}, {-2, 12}} {
		assert.InDelta(t, want.X, got[i].X, 1e-9)
		assert.InDelta(t, want.Y, got[i].Y, 1e-9)
	}
	spike := grown([]Point{{0, 0}, {100, -1}, {100, 1}}, 2) // its tip would be 200 away
	assert.InDelta(t, 0, math.Hypot(spike[0].X, spike[0].Y), 4+1e-9)
}

// Figures that wholeHull stands on, by geometry.
func TestHullsOfKnownShapes(t *testing.T) {
	regular := func(n int) (out []Point) {
		for k := range n {
			sin, cos := math.Sincos(2*math.Pi*float64(k)/float64(n) + .1)
			out = append(out, Point{100 * cos, 100 * sin})
		}
		return out
	}
	for n, most := range map[int]float64{6: .75, 8: 2 * (math.Sqrt2 - 1), 360: math.Pi / 4} {
		pts := hull(regular(n))
		q, ok := around(pts)
		require.True(t, ok)
		assert.LessOrEqual(t, polygonArea(pts)/q.Area(), most+.001, "%d sides; the outline round it need not be the smallest", n)
		_, ok = fourCorners(pts)
		assert.False(t, ok, "%d sides", n)
	}
	for name, q := range map[string]Quad{"square": {{0, 0}, {90, 0}, {90, 90}, {0, 90}}, "seen askew": {{20, 0}, {80, 5}, {100, 70}, {0, 60}}} {
		got, ok := fourCorners(hull(q[:]))
		assert.True(t, ok, name)
		assert.Equal(t, q, got, name)
	}
	_, ok := fourCorners([]Point{{40, 0}, {60, 0}, {100, 70}, {0, 70}})
	assert.False(t, ok, "a side five times the other is the piece's own shape")
}
