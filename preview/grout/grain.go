package grout

import (
	"math"
	"math/rand/v2"
)

// Sanded grout is finely speckled: grains about a third of a millimetre across, and
// a spread of some two percent of its reflectance (common practice, no source).
const (
	GrainMm     = 0.3
	grainSpread = 0.02
)

// grainSide is the side of the pattern that is repeated, px: large enough that the
// eye finds no repetition in a pattern this faint.
const grainSide = 512

// grain is a pattern of factors near 1 on the reflectance, the same for every shade.
type grain struct{ v []float32 }

// newGrain makes the pattern of a seed; size is that of a grain, px.
func newGrain(seed uint64, size float64) *grain {
	rng := rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)) // 2⁶⁴ over the golden ratio: any odd constant would do
	v := make([]float32, grainSide*grainSide)
	for i := range v {
		v[i] = float32(rng.NormFloat64())
	}
	v = wrapped(v, max(size/2, .5))
	var sum, sq float64
	for _, x := range v {
		sum, sq = sum+float64(x), sq+float64(x)*float64(x)
	}
	n := float64(len(v))
	mean := sum / n
	k := grainSpread / math.Sqrt(max(sq/n-mean*mean, 1e-12))
	for i, x := range v {
		v[i] = float32(1 + k*(float64(x)-mean))
	}
	return &grain{v}
}

// wrapped is a Gaussian of σ px on a pattern that goes on at the other side.
func wrapped(v []float32, sigma float64) []float32 {
	k := int(math.Ceil(3 * sigma))
	bell := make([]float32, 2*k+1)
	for i := range bell {
		d := float64(i - k)
		bell[i] = float32(math.Exp(-d * d / (2 * sigma * sigma)))
	}
	for _, stride := range [2]int{1, grainSide} {
		out := make([]float32, len(v))
		for i := range v {
			at := i / stride % grainSide
			for d, b := range bell {
				o := (at + d - k + grainSide) % grainSide
				out[i] += b * v[i+(o-at)*stride]
			}
		}
		v = out
	}
	return v
}

// at is the factor at a pixel; 1 without grain.
func (g *grain) at(x, y int) float32 {
	if g == nil {
		return 1
	}
	return g.v[y%grainSide*grainSide+x%grainSide]
}
