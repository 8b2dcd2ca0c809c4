package colormath

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Type 7 by hand: of 10, 20, 30, 40 the place of q is 3q, so .5 lies between 20
// and 30, .1 at 10 + .3·10, .9 at 30 + .7·10.
func TestQuantileByHand(t *testing.T) {
	v := []float64{10, 20, 30, 40}
	for q, want := range map[float64]float64{-1: 10, 0: 10, 0.1: 13, 0.25: 17.5, 0.5: 25, 0.9: 37, 1: 40, 2: 40} {
		assert.InDelta(t, want, Quantile(v, q), 1e-12, "q %v", q)
	}
	assert.Equal(t, 7.0, Quantile([]float64{7}, 0.3))
	assert.True(t, math.IsNaN(Quantile(nil, 0.5)))
}

func TestSpreadAndMedianLeaveTheirInputAlone(t *testing.T) {
	v := []float64{40, 10, 30, 20}
	got := SpreadOf(v)
	assert.InDelta(t, 13, got.P10, 1e-12)
	assert.InDelta(t, 25, got.P50, 1e-12)
	assert.InDelta(t, 37, got.P90, 1e-12)
	assert.Equal(t, 25.0, Median(v))
	assert.Equal(t, []float64{40, 10, 30, 20}, v)
}

// One wild value in five moves neither: median 3, distances 2 1 0 1 97.
func TestMADByHand(t *testing.T) {
	v := []float64{1, 2, 3, 4, 100}
	assert.Equal(t, 3.0, Median(v))
	assert.Equal(t, 1.0, MAD(v))
	assert.True(t, math.IsNaN(MAD(nil)))
}

// Reordering gives what sorting gives, also among many equals and on one value.
func TestQuantileInAgreesWithSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := range 300 {
		v := make([]float64, n)
		for i := range v {
			v[i] = float64(r.IntN(1 + n/3))
		}
		sorted := slices.Sorted(slices.Values(v))
		for _, q := range []float64{-1, 0, .1, .25, .5, .88, .9, 1, 2} {
			in := slices.Clone(v)
			if n == 0 {
				assert.True(t, math.IsNaN(QuantileIn(in, q)))
				continue
			}
			assert.Equal(t, Quantile(sorted, q), QuantileIn(in, q), "%d values, q %v", n, q)
			slices.Sort(in)
			assert.Equal(t, sorted, in, "nothing may get lost")
		}
	}
}
