package segment

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// pupils is a board of dark tiles with pale joints as the network saw it, except
// for one blotch of 6 × 6 px that it could not place: in the middle of a tile, far
// from any joint, painted in the colour given.
func pupils(blotch [3]float32) *evidence {
	dark, pale := [3]float32{.1, .05, .04}, [3]float32{.7, .7, .68}
	ev := board(dark, dark, .02, func(_, _ [3]float32, _ float32) [3]float32 { return pale })
	ev.lay.gap = 2
	for y := blotchAt; y < blotchAt+blotchSide; y++ {
		for x := blotchAt; x < blotchAt+blotchSide; x++ {
			ev.tile.v[y*ev.w+x] = .45
			copy(ev.lin[3*(y*ev.w+x):], blotch[:])
		}
	}
	return ev
}

const (
	blotchAt   = 3*boardCell + 2
	blotchSide = 6
)

// blotchMean is the coverage of the blotch's inner 2 × 2 px, out of reach of
// anything the network is sure of on both sides.
func blotchMean(ev *evidence) float64 {
	sum := 0.
	for _, y := range []int{2, 3} {
		for _, x := range []int{2, 3} {
			sum += float64(ev.tile.v[(blotchAt+y)*ev.w+blotchAt+x]) / 4
		}
	}
	return sum
}

func TestAnUnsurePixelGoesByTheColoursRoundAbout(t *testing.T) {
	for _, c := range []struct {
		colour [3]float32
		tile   bool
	}{
		{[3]float32{.11, .05, .04}, true},
		{[3]float32{.69, .7, .68}, false},
	} {
		ev := pupils(c.colour)
		ev.teach(1)
		if c.tile {
			assert.Greater(t, blotchMean(ev), .8)
		} else {
			assert.Less(t, blotchMean(ev), .15)
		}
	}
}

// Seven to one is the most that colour may say: .9 against a colour that is
// clearly the bed's goes to 9 : 7, and stays tile.
func TestColourAloneNeverOverrules(t *testing.T) {
	ev := pupils([3]float32{.69, .7, .68})
	for i, p := range ev.tile.v {
		if p == .45 {
			ev.tile.v[i] = .9
		}
	}
	ev.teach(1)
	assert.InDelta(t, 9./16, blotchMean(ev), .01)
}

// What the network is sure of stays as it is, and so do the pixels of an edge,
// whatever their colour.
func TestTeachingLeavesEdgesAlone(t *testing.T) {
	ev := pupils([3]float32{.1, .05, .04})
	edge := (2*boardCell+3)*ev.w + 2*boardCell + boardTile - 1 // last column of a tile
	ev.tile.v[edge] = .6
	before := append([]float32(nil), ev.tile.v...)
	ev.teach(1)
	for i, p := range before {
		if p > sureTile || p < sureGap || i == edge {
			assert.Equal(t, p, ev.tile.v[i])
		}
	}
}

// One colour only: nothing to compare with, nothing changes.
func TestNothingToLearnFrom(t *testing.T) {
	ev := pupils([3]float32{.69, .7, .68})
	for i, p := range ev.tile.v {
		if p < sureGap {
			ev.tile.v[i] = .5
		}
	}
	before := append([]float32(nil), ev.tile.v...)
	ev.teach(1)
	assert.Equal(t, before, ev.tile.v)
}
