package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
)

func TestEven(t *testing.T) {
	f := Even(colormath.LinearRGB{R: .9, G: .5, B: .25})
	for _, p := range [][2]float64{{0, 0}, {-50, 4000}, {1e6, 1e6}} {
		c := f.At(p[0], p[1])
		assert.InDeltaSlice(t, []float64{.9, .5, .25}, []float64{c.R, c.G, c.B}, 1e-12)
	}
}

// Row draws straight lines between exact levels 16 px apart. On a panel of a
// thousand px they stay within 1 in 5,000 of the curve: h²/8 times the second
// derivative, with log-coefficients of 0.3 about 16²/8·(0.6+0.36)/500².
func TestRowFollowsTheCurve(t *testing.T) {
	f := &Field{x0: 500, y0: 400, sx: 1. / 500, sy: 1. / 400, coef: [6]float64{-.2, .3, -.2, -.3, .1, .2}, colour: [3]float64{1, .9, .8}}
	off := func(y, x0 int, got []float32) (worst float64) {
		f.Row(y, x0, got)
		for i, v := range got {
			worst = max(worst, math.Abs(float64(v)/f.Level(float64(x0+i), float64(y))-1))
		}
		return worst
	}
	for _, y := range []int{0, 399, 799} {
		assert.Less(t, off(y, 0, make([]float32, 1000)), 2e-4)
	}
	// A row may begin anywhere and be of any length.
	assert.Less(t, off(399, 777, make([]float32, 5)), 2e-4)
	assert.Zero(t, off(0, 0, nil))

	// At is the level times the colour.
	c := f.At(123, 456)
	l := f.Level(123, 456)
	assert.InDeltaSlice(t, []float64{l, .9 * l, .8 * l}, []float64{c.R, c.G, c.B}, 1e-12)
}

// A surface of second degree through 81 places is found again, whatever lies a
// little below it in some of them: those count for shadowed.
func TestFitLeansOnTheUpperSide(t *testing.T) {
	truth := [6]float64{-.3, .2, -.1, .05, .03, -.04}
	nodes := func(shadow func(i int) float64) (ns []node) {
		for i := range 81 {
			x, y := float64(i%9-4)/4, float64(i/9-4)/4
			ns = append(ns, node{x: x, y: y, z: value(truth, x, y) - shadow(i), weight: 1})
		}
		return ns
	}
	worst := func(coef [6]float64) (w float64) {
		for i := range 81 {
			x, y := float64(i%9-4)/4, float64(i/9-4)/4
			w = max(w, math.Abs(value(coef, x, y)-value(truth, x, y)))
		}
		return w
	}
	// The touch of ridge costs up to 0.02 in the logarithm, 2 % of light; a place
	// in shadow 0.5 deep still pulls with a fortieth of its weight.
	assert.Less(t, worst(fit(nodes(func(int) float64 { return 0 }))), .02)
	assert.Less(t, worst(fit(nodes(func(i int) float64 { return .5 * float64(i%3/2) }))), .04, "a third in deep shadow")
	assert.Less(t, worst(fit(nodes(func(i int) float64 {
		if i == 40 {
			return -1.5
		}
		return 0
	}))), .03, "a glint in the middle")
}

// Gauss–Jordan against a system whose answer is known by construction, and a
// singular one: the term that it cannot tell stays zero.
func TestSolve(t *testing.T) {
	want := [6]float64{1, -2, 3, .5, 0, 7}
	var a [6][7]float64
	for r := range 6 {
		for c := range 6 {
			a[r][c] = math.Pow(float64(r+1), float64(c)) / 10 // Vandermonde: regular, badly scaled
			a[r][6] += a[r][c] * want[c]
		}
	}
	got := solve(a)
	assert.InDeltaSlice(t, want[:], got[:], 1e-8)

	var b [6][7]float64
	for r := range 5 {
		b[r][r], b[r][6] = 2, 4
	}
	got = solve(b)
	assert.InDeltaSlice(t, []float64{2, 2, 2, 2, 2, 0}, got[:], 1e-12)
}

// Where a row begins makes no difference: a part of it is the same to the last bit.
func TestRowsLieTheSame(t *testing.T) {
	f := &Field{x0: 90, y0: 40, sx: .01, sy: .01, coef: [6]float64{.1, .4, -.3, .2, .1, -.2}, colour: [3]float64{1, 1, 1}}
	whole := make([]float32, 200)
	f.Row(33, 0, whole)
	for _, x0 := range []int{1, 15, 16, 17, 64, 150} {
		part := make([]float32, 200-x0)
		f.Row(33, x0, part)
		assert.Equal(t, whole[x0:], part, "from %d", x0)
	}
}
