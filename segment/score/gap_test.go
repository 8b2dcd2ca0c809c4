package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGapCutsInTheMiddle(t *testing.T) {
	// 127/255 = .498, 128/255 = .502
	assert.Equal(t, []bool{false, false, true, true}, Gap([]uint8{0, 127, 128, 255}))
}

// By hand: a joint of 2 px found one pixel to the right.
func TestIoUOfAJointOnePixelOff(t *testing.T) {
	_, _, truth := gapOf(t, `
		aaa..bbbb
		aaa..bbbb
		aaa..bbbb`)
	_, _, found := gapOf(t, `
		aaaa..bbb
		aaaa..bbb
		aaaa..bbb`)
	// 3 px shared, 9 px in either
	assert.Equal(t, 3./9, IoU(nil, truth, found))
	assert.Equal(t, 1., IoU(nil, truth, truth))
}

// By hand: outside the panel nothing counts.
func TestIoULooksAtThePanelOnly(t *testing.T) {
	truth := []bool{true, true, false, false}
	found := []bool{true, false, false, true}
	assert.Equal(t, 1./3, IoU(nil, truth, found))
	assert.Equal(t, 1./2, IoU([]bool{true, true, true, false}, truth, found))
	assert.Equal(t, 1., IoU([]bool{false, false, true, false}, truth, found), "no gap in either")
}

// The figure of the package comment: gaps of 6 px found as 8 px. Each joint
// has IoU 6/8, and the edges lie one pixel off, within the tolerance.
func TestAPixelTooFatCostsAQuarterOfIoUAndNoF1(t *testing.T) {
	const w, h = 60, 20
	truth, found := make([]bool, w*h), make([]bool, w*h)
	for i := range w * h {
		x := i % w % 20
		truth[i] = x >= 7 && x < 13
		found[i] = x >= 6 && x < 14
	}
	assert.Equal(t, .75, IoU(nil, truth, found))
	assert.Equal(t, 1., BoundaryF1(w, h, nil, truth, found, 2))
}

func TestCoverageError(t *testing.T) {
	truth := []uint8{0, 255, 51, 102}
	found := []uint8{51, 204, 51, 255}
	// shares off by .2, .2, 0, .6
	assert.InDelta(t, .25, CoverageError(nil, truth, found), 1e-15)
	assert.InDelta(t, .4/3, CoverageError([]bool{true, true, true, false}, truth, found), 1e-15)
	assert.Zero(t, CoverageError([]bool{false, false, false, false}, truth, found))
}

// Errors of opposite sign cancel: the powder is right, the place is not.
func TestAreaError(t *testing.T) {
	assert.Zero(t, AreaError(nil, []uint8{100, 0, 100}, []uint8{0, 200, 0}))
	assert.InDelta(t, .25, AreaError(nil, []uint8{200, 0}, []uint8{200, 50}), 1e-15)
	assert.InDelta(t, .25, AreaError(nil, []uint8{200, 0}, []uint8{150, 0}), 1e-15)
	assert.Zero(t, AreaError([]bool{true, false}, []uint8{200, 0}, []uint8{200, 50}))
	assert.Equal(t, 1., AreaError(nil, []uint8{0}, []uint8{9}), "gap where there is none")
	assert.Zero(t, AreaError(nil, []uint8{0}, []uint8{0}))
}

func TestPicturesOfDifferentSizePanic(t *testing.T) {
	a, b := make([]uint8, 4), make([]uint8, 5)
	assert.Panics(t, func() { CoverageError(nil, a, b) })
	assert.Panics(t, func() { AreaError(nil, b, a) })
	assert.Panics(t, func() { IoU(make([]bool, 3), make([]bool, 4), make([]bool, 4)) })
	assert.Panics(t, func() { TilesF1(make([]uint16, 3), make([]uint16, 4)) })
	assert.Panics(t, func() { BoundaryF1(2, 2, nil, make([]bool, 4), make([]bool, 5), 2) })
}
