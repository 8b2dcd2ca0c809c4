package colormath

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Oracle: contrast_checks.csv, seven pairs of our own computed outside this
// program; the eighth row is a published library's HyAB example, 151.0215, with
// the other columns blank.
func TestContrastChecks(t *testing.T) {
	rows := reference(t, "contrast_checks.csv", 8)
	for _, r := range rows {
		a, b := r.lab(t, "L1", "a1", "b1"), r.lab(t, "L2", "a2", "b2")
		assert.InDelta(t, r.num(t, "HyAB"), HyAB(a, b), 1e-4)
		assert.InDelta(t, r.num(t, "HyAB"), HyAB(b, a), 1e-4)
	}
	for _, r := range rows[:7] {
		x, y := r.lab(t, "L1", "a1", "b1"), r.lab(t, "L2", "a2", "b2")
		for _, p := range [][2]Lab{{x, y}, {y, x}} {
			a, b := p[0], p[1]
			assert.InDelta(t, r.num(t, "dE00"), DeltaE2000(a, b), 1e-3)
			assert.InDelta(t, r.num(t, "dEab"), DeltaE76(a, b), 1e-3)
			assert.InDelta(t, r.num(t, "LRV_difference_points"), LRVDifference(a, b), 1e-3)
			assert.InDelta(t, r.num(t, "Michelson"), Michelson(a, b), 1e-3)
			assert.InDelta(t, r.num(t, "Weber_of_lighter"), Weber(a, b), 1e-3)
			assert.InDelta(t, r.num(t, "luminance_ratio_plus_0.05"), DisplayRatio(a, b), 1e-3)
		}
	}
}

// The ends are arithmetic: white on black, black on black.
func TestContrastEnds(t *testing.T) {
	white, black := Lab{L: 100}, Lab{}
	assert.InDelta(t, 100, LRV(white), 1e-12)
	assert.Zero(t, LRV(black))
	assert.InDelta(t, 1, Michelson(white, black), 1e-15)
	assert.InDelta(t, 1, Weber(black, white), 1e-15)
	assert.InDelta(t, 21, DisplayRatio(white, black), 1e-12)
	assert.Zero(t, Michelson(black, black))
	assert.Zero(t, Weber(black, black))
}
