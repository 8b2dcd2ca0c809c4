package segment

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func tidied(t *testing.T, before string) string {
	ev := seen(t, before)
	ev.tidy()
	return ev.shown()
}

// By eye: the single pixel in the joint goes.
func TestTidyDropsSpecks(t *testing.T) {
	assert.Equal(t, plain(`
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########
		..................
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########`), tidied(t, `
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########
		........#.........
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########`))
}

// By eye: glare in a tile closes, with a speck in it or without; the notch at
// the panel's edge and the joint stay.
func TestTidyClosesHoles(t *testing.T) {
	assert.Equal(t, plain(`
		####..####..##########
		##########..##########
		##########..##########
		##########..##########
		##########..##########
		##########..##########
		##########..##########
		##########..##########`), tidied(t, `
		####..####..##########
		##########..##########
		##########..##...#####
		####..####..##.#.#####
		####..####..##...#####
		##########..##########
		########.#..##########
		##########..##########`))
}

// A notch that opens into the joint is the tile's outline, not a hole.
func TestTidyLeavesNotches(t *testing.T) {
	notched := `
		########..########
		########..########
		#####.....########
		########..########
		########..########
		########..########`
	assert.Equal(t, plain(notched), tidied(t, notched))
}

// A frame round a piece is two tiles with a joint between them.
func TestTidyLeavesATileInAFrame(t *testing.T) {
	framed := `
		################
		################
		##............##
		##.##########.##
		##.##########.##
		##.##########.##
		##.##########.##
		##............##
		################
		################`
	assert.Equal(t, plain(framed), tidied(t, framed))
}

// A hole as large as the tile round it is no glare.
func TestTidyLeavesAnEmptyFrame(t *testing.T) {
	empty := `
		##########
		#........#
		#........#
		#........#
		#........#
		#........#
		##########`
	assert.Equal(t, plain(empty), tidied(t, empty))
}

// The panel may end inside the view: a hole that meets its edge stays.
func TestTidyHoleAtThePanelsEdge(t *testing.T) {
	before := `
		############
		############
		############
		#####.######
		############
		############
		############
		############`
	ev := seen(t, before)
	for i := range ev.lay.panel {
		ev.lay.panel[i] = i%12 <= 5
	}
	ev.tidy()
	assert.Equal(t, plain(before), ev.shown(), "the panel ends right of the hole")
	for i := range ev.lay.panel {
		ev.lay.panel[i] = i%12 <= 6
	}
	ev.tidy()
	assert.True(t, ev.tile.v[3*12+5] > .5, "one column more, and the tile goes all round it")
}

// Everything is tile, or nothing: no harm done.
func TestTidyWithoutGapOrTile(t *testing.T) {
	assert.Equal(t, plain(`
		####
		####`), tidied(t, `
		####
		####`))
	assert.Equal(t, plain(`
		....
		....`), tidied(t, `
		....
		....`))
}

// By hand: the share is the place on the line from tile to bed.
func TestLineShare(t *testing.T) {
	tile, bed := [3]float32{.1, .2, .6}, [3]float32{.9, .8, .7}
	mix := func(s float32) (c [3]float32) {
		for k := range c {
			c[k] = tile[k] + s*(bed[k]-tile[k])
		}
		return c
	}
	for _, s := range []float32{0, .25, .5, 1} {
		share, trust := lineShare(mix(s), tile, bed)
		assert.InDelta(t, s, share, 1e-6)
		assert.Greater(t, trust, float32(.5))
		assert.LessOrEqual(t, trust, float32(1))
	}
	for s, want := range map[float32]float32{-.5: 0, 1.5: 1} {
		share, _ := lineShare(mix(s), tile, bed)
		assert.Equal(t, want, share, "lighter than the bed, darker than the tile: clipped")
	}
}

// A shadow isn't on the line; and where tile and bed look alike, noise would
// decide.
func TestLineShareTrustsLessOffTheLine(t *testing.T) {
	tile, bed := [3]float32{.5, .5, .5}, [3]float32{.9, .9, .9}
	_, on := lineShare([3]float32{.7, .7, .7}, tile, bed)
	_, off := lineShare([3]float32{.7, .5, .9}, tile, bed)
	assert.Less(t, off, on)
	_, close := lineShare([3]float32{.51, .51, .51}, tile, [3]float32{.52, .52, .52})
	assert.Less(t, close, float32(.2))
	_, same := lineShare(tile, tile, tile)
	assert.Zero(t, same)
}
