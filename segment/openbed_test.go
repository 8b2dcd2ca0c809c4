package segment

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// onSheet is a view of 12 × 10 tiles of 20 px with joints of 6, on a sheet that reaches 18
// px beyond them; colour gives the light of every pixel.
func onSheet(colour func(x, y int, tile bool) [3]float64) *evidence {
	const side, gap, rim = 20, 6, 18
	w, h := 12*(side+gap)-gap+2*rim, 10*(side+gap)-gap+2*rim
	ev := &evidence{view: &view{win: window{0, 0, w, h}, scale: 1, w: w, h: h, lin: make([]float32, 3*w*h)},
		tile: newPlane(w, h), lay: &layout{panel: make([]bool, w*h), gap: gap}}
	for i := range w * h {
		x, y := i%w-rim, i/w-rim
		in := x >= 0 && y >= 0 && x < w-2*rim && y < h-2*rim
		ev.lay.panel[i] = in
		tile := in && x%(side+gap) < side && y%(side+gap) < side
		if tile {
			ev.tile.v[i] = 1
		}
		for k, v := range colour(i%w, i/w, tile) {
			ev.lin[3*i+k] = float32(v)
		}
	}
	return ev
}

var (
	brown = [3]float64{.42, .27, .13}
	paper = [3]float64{.80, .80, .82}
	ink   = [3]float64{.05, .12, .40}
)

func times(c [3]float64, k float64) [3]float64 {
	for i := range c {
		c[i] *= k
	}
	return c
}

// Oracle: the paper as it was drawn, under light that falls off by a third from left to
// right. Joints lie in shade; what is read is the open sheet.
func TestBedOfAnOpenSheet(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 {
		fall := 1 - float64(x)/1000
		if tile {
			return times(ink, fall)
		}
		return times(brown, fall)
	})
	b := ev.bedOf(nil)
	require.NotNil(t, b)
	for _, x := range []int{5, ev.w / 2, ev.w - 5} {
		got := b.at(x, ev.h/2)
		for k, c := range brown {
			assert.InDelta(t, colormath.EncodeSRGB(c*(1-float64(x)/1000)), float64(got[k]), .02, "x %d, channel %d", x, k)
		}
	}
}

// Where no sheet lies open, the joints tell; a name that is wrong changes nothing.
func TestBedOfJointsAlone(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 {
		if tile {
			return ink
		}
		return paper
	})
	for i, in := range ev.lay.panel {
		if !in {
			ev.tile.v[i] = .5 // a table, and the network doesn't know it
		}
	}
	white, red := colormath.LinearRGB{R: .85, G: .85, B: .85}, colormath.LinearRGB{R: .4, G: .2, B: .1}
	want := ev.bedOf(nil)
	require.NotNil(t, want)
	assert.InDelta(t, colormath.EncodeSRGB(paper[1]), float64(want.at(100, 100)[1]), .01)
	assert.Equal(t, want, ev.bedOf(&white))
	assert.Equal(t, want, ev.bedOf(&red))
}

// A named colour decides between a sheet and what lies round it.
func TestNamedBedChoosesBetweenTwo(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 { return paper })
	for i, in := range ev.lay.panel {
		if !in {
			copy(ev.lin[3*i:], []float32{float32(brown[0]), float32(brown[1]), float32(brown[2])}) // the table begins at the panel
		}
	}
	white := colormath.LinearRGB{R: .85, G: .85, B: .85}
	assert.InDelta(t, colormath.EncodeSRGB(brown[2]), float64(ev.bedOf(nil).at(9, 9)[2]), .02)
	assert.InDelta(t, colormath.EncodeSRGB(paper[2]), float64(ev.bedOf(&white).at(9, 9)[2]), .02)
}

// A table of many colours is no bed.
func TestBedOfManyColours(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 {
		return [...][3]float64{brown, paper, ink, {.3, .02, .02}}[(x/3*7+y/3*5)%4]
	})
	assert.Nil(t, ev.bedOf(nil))
}

func TestBedShows(t *testing.T) {
	b := &openBed{w: 10, h: 10, log: [3]float64{math.Log(brown[0]), math.Log(brown[1]), math.Log(brown[2])}}
	encoded := func(c [3]float64) (e [3]float64) {
		for k := range c {
			e[k] = colormath.EncodeSRGB(c[k])
		}
		return e
	}
	assert.True(t, b.shows(5, 5, encoded(brown)))
	assert.True(t, b.shows(5, 5, encoded(times(brown, .4))), "in shade")
	assert.False(t, b.shows(5, 5, encoded(times(brown, 2))), "lighter than open bed")
	assert.False(t, b.shows(5, 5, encoded(ink)), "of another hue")
}

// Painted pieces: the ink is tile, whatever the network said; the bed in shade stays as
// it was, and so does all of it where the network wasn't told.
func TestPaintOfAnotherHueIsTile(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 {
		if tile && x%8 < 4 {
			return ink
		}
		return times(paper, .5)
	})
	for i := range ev.tile.v {
		ev.tile.v[i] = .3
	}
	ev.bed, ev.told = &openBed{w: ev.w, h: ev.h, log: [3]float64{math.Log(.8), math.Log(.8), math.Log(.82)}}, true
	ev.byColour(2)
	for i, v := range ev.tile.v {
		if inked := ev.lin[3*i+2] < .41; inked && ev.lay.panel[i] {
			require.Greater(t, v, float32(.9), "pixel %d", i)
		} else {
			require.Equal(t, float32(.3), v, "pixel %d", i)
		}
	}
}

// Share of the tiles' area in pieces of many colours: every third column is striped.
func TestPatterned(t *testing.T) {
	ev := onSheet(func(x, y int, tile bool) [3]float64 {
		if tile && (x-18)/26%3 == 0 && y%6 < 3 {
			return ink
		}
		return paper
	})
	assert.InDelta(t, 1./3, ev.patterned(), 1e-9)
}
