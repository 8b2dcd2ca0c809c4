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
