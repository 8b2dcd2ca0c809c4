package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand: a tile found in two halves. Knowing the tile, its half is one bit;
// 8 of 16 px are of that tile. Nothing is merged.
func TestVariationOfASplit(t *testing.T) {
	_, _, truth := drawn(t, `
		aaaabbbb
		aaaabbbb`)
	_, _, found := drawn(t, `
		aaccbbbb
		aaccbbbb`)
	splits, merges := Variation(truth, found)
	assert.Equal(t, .5, splits)
	assert.Zero(t, merges)
	splits, merges = Variation(found, truth)
	assert.Zero(t, splits, "the other way round it is a merge")
	assert.Equal(t, .5, merges)
}

// By hand: four equal tiles found as one: two bits of every pixel are lost.
func TestVariationOfAMerge(t *testing.T) {
	_, _, truth := drawn(t, `
		aabb
		ccdd`)
	splits, merges := Variation(truth, make([]uint16, 8))
	assert.Zero(t, splits)
	assert.Equal(t, 2., merges)
}

// Names don't matter, only what goes together.
func TestVariationIgnoresNames(t *testing.T) {
	_, _, a := drawn(t, `aab..cc`)
	_, _, b := drawn(t, `xxyccpp`)
	splits, merges := Variation(a, b)
	assert.Zero(t, splits)
	assert.Zero(t, merges)
	assert.Zero(t, RandError(a, b))
}

// By hand, ordered pairs n(n−1), gap of the truth left out. Truth: a 6, b 4 px,
// 30 + 12 = 42 pairs. Found there: a 4, d 2+2, b 2 px, 12 + 12 + 2 = 26 pairs.
// Shared: a·a 4, a·d 2, b·d 2, b·b 2 px, 12 + 2 + 2 + 2 = 18.
func TestRandErrorOfAMerge(t *testing.T) {
	_, _, truth := drawn(t, `
		aaa.bb
		aaa.bb`)
	_, _, found := drawn(t, `
		aad.db
		aad.db`)
	assert.InDelta(t, 1-2*18./(42+26), RandError(truth, found), 1e-15)
}

// By hand: d also fills the gap, which does not count. Found: a 4, d 2, x 2, b 2
// px, 12 + 2 + 2 + 2 = 18 pairs, all of them shared.
func TestRandErrorLeavesTheGapOut(t *testing.T) {
	_, _, truth := drawn(t, `
		aaa.bb
		aaa.bb`)
	_, _, found := drawn(t, `
		aaddxb
		aaddxb`)
	assert.InDelta(t, 1-2*18./(42+18), RandError(truth, found), 1e-15)
}

func TestRandErrorWithoutPairs(t *testing.T) {
	assert.Zero(t, RandError(nil, nil))
	assert.Zero(t, RandError([]uint16{0, 0, 0}, []uint16{1, 1, 2}), "no tile in truth")
	assert.Zero(t, RandError([]uint16{1, 2}, []uint16{3, 4}), "tiles of one pixel")
	assert.Equal(t, 1., RandError([]uint16{1, 2}, []uint16{3, 3}), "a pair found that isn't one")
}
