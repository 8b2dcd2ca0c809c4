package colormath

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The kernels themselves: symmetric halves that add up to 1, the integrated one
// equal to the difference of two error functions, and at large spreads equal to
// the sampled one.
func TestKernels(t *testing.T) {
	for _, s := range []float64{0.1, 0.7, 1.2, 8, 40} {
		for _, integrated := range []bool{false, true} {
			k := gaussianKernel(s, integrated)
			sum := k[0]
			for _, v := range k[1:] {
				sum += 2 * v
			}
			assert.InDelta(t, 1, sum, 1e-14, "s %v", s)
		}
	}
	assert.InDelta(t, math.Erf(0.5/0.7), gaussianKernel(0.7, true)[0], 1e-5)
	assert.InDelta(t, gaussianKernel(40, false)[10], gaussianKernel(40, true)[10], 1e-5)
}

func TestMirrored(t *testing.T) {
	want := []int{1, 2, 2, 1, 0, 0, 1, 2, 2, 1, 0, 0}
	for i, v := range want {
		assert.Equal(t, v, mirrored(i-5, 3), "index %d", i-5)
	}
	assert.Equal(t, 0, mirrored(-77, 1))
}

// Seven pixels over three cells by hand: a cell is 2⅓ pixels, so the third pixel
// goes one part in three to the first cell and two to the second.
func TestSharesByHand(t *testing.T) {
	s := shares(7, 3)
	for i, want := range []share{
		{0, 3. / 7, 0}, {0, 3. / 7, 0}, {0, 1. / 7, 2. / 7}, {1, 3. / 7, 0},
		{1, 2. / 7, 1. / 7}, {2, 3. / 7, 0}, {2, 3. / 7, 0},
	} {
		assert.Equal(t, want, s[i], "pixel %d", i)
	}
}

// Averaging keeps the mean, and a slope joined up again is the slope but for
// half a cell at either end, where the mirror levels it. A pixel shared by two
// cells counts at its middle for both, which moves the centre of a cell of c
// pixels by f(1−f)/2c ≤ 1/8c; cells of whole pixels share none.
func TestReduceAndSpreadKeepMeanAndSlope(t *testing.T) {
	const mx, my = 7, 4
	for _, c := range []struct {
		w, h      int
		tolerance float64
	}{{49, 28, 1e-4}, {50, 31, 1./8*mx/50 + 2./8*my/31}} {
		p := newPlane(c.w, c.h)
		for i := range p.v {
			p.v[i] = float32(i%c.w) + 2*float32(i/c.w)
		}
		small := p.reduce(mx, my, 1)
		assert.InDelta(t, mean(p.v), mean(small.v), 1e-4)
		back := newPlane(c.w, c.h)
		small.spreadOver(back, 1, 1)
		for y := 4; y < c.h-4; y++ {
			for x := 4; x < c.w-4; x++ {
				require.InDelta(t, p.row(y)[x], back.row(y)[x], c.tolerance, "%d, %d", x, y)
			}
		}
	}
}

func mean(v []float32) (m float64) {
	for _, x := range v {
		m += float64(x) / float64(len(v))
	}
	return m
}
