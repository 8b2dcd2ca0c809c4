package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// By eye: reading order of the first pixel; a corner is no connection; the
// single pixel is below two px².
func TestTilesNumbersPieces(t *testing.T) {
	w, h, gap := gapOf(t, `
		..aa.b
		aaaa.b
		....b.
		cc.bb.
		cc...d`)
	label, n := Tiles(w, h, nil, gap, 2)
	assert.Equal(t, 4, n)
	assert.Equal(t, []uint16{
		0, 0, 1, 1, 0, 2,
		1, 1, 1, 1, 0, 2,
		0, 0, 0, 0, 3, 0,
		4, 4, 0, 3, 3, 0,
		4, 4, 0, 0, 0, 0,
	}, label)
	_, n = Tiles(w, h, nil, gap, 1)
	assert.Equal(t, 5, n)
	_, n = Tiles(w, h, make([]bool, w*h), gap, 1)
	assert.Zero(t, n, "an empty panel holds no tiles")
}

// 65,535 is the last number that a 16-bit picture can hold: a board of 512 × 512
// single pixels that touch at corners only has 131,072.
func TestTilesStopAtTheLastNumber(t *testing.T) {
	gap := make([]bool, 512*512)
	for i := range gap {
		gap[i] = (i%512+i/512)%2 == 1
	}
	_, n := Tiles(512, 512, nil, gap, 1)
	assert.Equal(t, 65535, n)
}

func TestLeastTile(t *testing.T) {
	assert.Equal(t, 30, LeastTile(100, 100))
	assert.Equal(t, 121, LeastTile(1200, 1001), "120.12 px² rounded up")
}

func TestCountError(t *testing.T) {
	assert.Equal(t, .1, CountError(120, 132))
	assert.Equal(t, .1, CountError(120, 108))
	assert.Zero(t, CountError(7, 7))
	assert.Zero(t, CountError(0, 0))
	assert.Equal(t, 1., CountError(0, 5))
}

// By hand. a: 9 px, found 6 of them, IoU 2/3. b: 12 px, found in two halves of
// 6, IoU exactly 1/2, no hit. c: not found. x: found where nothing is.
func TestTilesF1(t *testing.T) {
	_, _, truth := drawn(t, `
		aaa.bbbb.
		aaa.bbbb.
		aaa.bbbb.
		.........
		ccc......
		ccc......`)
	_, _, found := drawn(t, `
		aa..bbdd.
		aa..bbdd.
		aa..bbdd.
		.........
		......xxx
		......xxx`)
	// 1 hit, 3 true and 4 found tiles
	assert.Equal(t, 2./7, TilesF1(truth, found))
	assert.Equal(t, 2./7, TilesF1(found, truth))
	assert.Equal(t, 1., TilesF1(truth, truth))
	none := make([]uint16, len(truth))
	assert.Zero(t, TilesF1(truth, none))
	assert.Equal(t, 1., TilesF1(none, none))
}
