package net

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests of this file take the layers one kind at a time, at sizes that a
// whole network never reaches because it pads to a power of two. The oracle is
// refConv and its neighbours in reference_test.go. Inputs are about one and sums
// have at most a few hundred terms, so 1e-5 is some dozen roundings.
const tol = 1e-5

func randomPlanes(rng *rand.Rand, c, w, h int) planes {
	p := planes{randomFloats(rng, c*w*h), c, w, h}
	for i := range p.v {
		p.v[i] -= 0.3 // some below zero
	}
	return p
}

func (p planes) image() image {
	m := newImage(p.c, p.w, p.h)
	for i, v := range p.v {
		m.v[i] = float64(v)
	}
	return m
}

func (p planes) clone() planes {
	p.v = append([]float32(nil), p.v...)
	return p
}

// newRun is a run over a network that has only loops.
func newRun(k kernels, threads int) *run {
	return &run{&Net{kernels: k}, &Memory{zero: make([]float32, 200), worker: make([]scratch, threads)}, threads, nil}
}

// readBlock makes a block with random weights and its two layers.
func readBlock(t *testing.T, rng *rand.Rand, in, out, stride int) (*block, listed) {
	var f listed
	f.addBlock(rng, "b", in, out, stride)
	r := reader{layers: f.Layers, floats: f.values}
	b := r.block("b", in, out, stride)
	require.NoError(t, r.err)
	return &b, f
}

func refBlock(x image, f listed) image {
	return refConv(refConv(x, f.Layers[0], f.values), f.Layers[1], f.values)
}

var oddSizes = [][2]int{{1, 1}, {2, 1}, {1, 3}, {3, 2}, {9, 5}, {10, 7}, {11, 8}, {16, 4}, {33, 6}, {101, 9}}

// Depthwise and pointwise, stride 1, into other planes and in place.
func TestBlock(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range oddSizes {
			rng := rand.New(rand.NewPCG(1, uint64(s[0])))
			b, f := readBlock(t, rng, 8, 8, 1)
			src := randomPlanes(rng, 8, s[0], s[1])
			want := refBlock(src.image(), f)

			dst := planes{make([]float32, len(src.v)), 8, s[0], s[1]}
			newRun(k, 2).block(dst, src, b, putRelu)
			assert.InDeltaSlice(t, want.v, dst.v, tol, "%v", s)

			newRun(k, 3).block(src, src, b, putRelu)
			assert.Equal(t, dst.v, src.v, "in place at %v", s)
		}
	})
}

// A residual block in place: x + block(x), no ReLU after the sum, for any
// number of bands; a wide one, so that each row is a tile of its own.
func TestBlockResidual(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range append(oddSizes, [2]int{1100, 7}) {
			rng := rand.New(rand.NewPCG(2, uint64(s[0])))
			b, f := readBlock(t, rng, 8, 8, 1)
			src := randomPlanes(rng, 8, s[0], s[1])
			want := refAdd(src.image(), refBlock(src.image(), f))
			for threads := 1; threads <= 4; threads++ {
				p, r := src.clone(), newRun(k, threads)
				r.mem.zero = make([]float32, s[0])
				r.block(p, p, b, putAdd)
				assert.InDeltaSlice(t, want.v, p.v, tol, "%d threads at %v", threads, s)
			}
		}
	})
}

// Stride 2 gives half the size, rounded up.
func TestBlockStride2(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range oddSizes {
			rng := rand.New(rand.NewPCG(3, uint64(s[0])))
			b, f := readBlock(t, rng, 8, 12, 2)
			src := randomPlanes(rng, 8, s[0], s[1])
			dst := planes{c: 12, w: (s[0] + 1) / 2, h: (s[1] + 1) / 2}
			dst.v = make([]float32, dst.c*dst.w*dst.h)
			newRun(k, 2).block(dst, src, b, putRelu)
			assert.InDeltaSlice(t, refBlock(src.image(), f).v, dst.v, tol, "%v", s)
		}
	})
}

// The pointwise loops alone, at every length up to past two full vectors of
// three registers, with every way to store. What lies beyond the pixels must
// stay as it was.
func TestMix(t *testing.T) {
	ways := map[put]func(old, sum float64) float64{
		putRaw:  func(_, sum float64) float64 { return sum },
		putRelu: func(_, sum float64) float64 { return math.Max(0, sum) },
		putAdd:  func(old, sum float64) float64 { return old + math.Max(0, sum) },
		putSum:  func(old, sum float64) float64 { return old + sum },
	}
	bothKernels(t, func(t *testing.T, k kernels) {
		for n := 1; n <= 60; n++ {
			rng := rand.New(rand.NewPCG(4, uint64(n)))
			var f listed
			f.add(rng, layer{In: 12, Out: 8, K: 1, Stride: 1, Groups: 1})
			src := randomPlanes(rng, 12, 64, 1)
			for how, store := range ways {
				l := f.Layers[0]
				if how == putSum { // has no bias
					clear(f.values[l.BiasAt:])
				}
				m := newMixer(f.values[:l.BiasAt], f.values[l.BiasAt:], l.In, l.Out)
				dst := randomPlanes(rng, 8, 64, 1)
				old, sum := dst.image(), refConv(src.image(), l, f.values)
				r := newRun(k, 1)
				r.mix(&m, view{dst.v, 64}, view{src.v, 64}, n, how, &r.mem.worker[0])
				want := old
				for i := range want.v {
					if i%64 < n {
						want.v[i] = store(old.v[i], sum.v[i])
					}
				}
				require.InDeltaSlice(t, want.v, dst.v, tol, "%d pixels, put %d", n, how)
			}
		}
	})
}

// 3×3 with stride 2 from the picture, which is continued up to twice dst's size.
func TestStem(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range append(oddSizes, [2]int{700, 3}) {
			rng := rand.New(rand.NewPCG(5, uint64(s[0])))
			var f listed
			f.add(rng, layer{Name: "stem.0", In: Planes, Out: 12, K: 3, Stride: 2, Groups: 1, Relu: true})
			in := randomInput(rng, s[0], s[1])
			want := refConv(refStart(in, 8), f.Layers[0], f.values)

			rd := reader{layers: f.Layers, floats: f.values}
			r := newRun(k, 2)
			r.net.stem.w, r.net.stem.bias, r.net.stem.out = rd.layer("stem.0", shape{in: Planes, k: 3, stride: 2, groups: 1, relu: true})
			require.NoError(t, rd.err)
			dst := planes{make([]float32, len(want.v)), 12, want.w, want.h}
			r.stem(dst, &in)
			assert.InDeltaSlice(t, want.v, dst.v, tol, "%v", s)
		}
	})
}

// 3×3 to four planes, pixel shuffle, sigmoid, and the crop to any size up to
// twice the planes'.
func TestHead(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range append(oddSizes, [2]int{1200, 5}) {
			rng := rand.New(rand.NewPCG(6, uint64(s[0])))
			var f listed
			f.add(rng, layer{Name: "head", In: 12, Out: 4, K: 3, Stride: 1, Groups: 1})
			src := randomPlanes(rng, 12, s[0]/2+2, s[1]/2+2)
			want := refShuffle(refConv(src.image(), f.Layers[0], f.values), s[0], s[1])

			r := newRun(k, 2)
			r.mem.zero = make([]float32, src.w)
			r.net.head = newHead(f.values[:f.Layers[0].BiasAt], f.values[f.Layers[0].BiasAt:], 12, 4)
			dst := planes{make([]float32, s[0]*s[1]), 1, s[0], s[1]}
			r.head(dst, src, &r.net.head)
			assert.InDeltaSlice(t, want, dst.v, tol, "%v", s)
		}
	})
}

// Pointwise, nearest upsampling to a size that may be odd, sum and ReLU.
func TestLateral(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, s := range append(oddSizes, [2]int{1400, 5}) {
			rng := rand.New(rand.NewPCG(7, uint64(s[0])))
			var f listed
			f.add(rng, layer{In: 12, Out: 8, K: 1, Stride: 1, Groups: 1})
			l := f.Layers[0]
			m := newMixer(f.values[:l.BiasAt], f.values[l.BiasAt:], l.In, l.Out)
			fine := randomPlanes(rng, 8, s[0], s[1])
			coarse := randomPlanes(rng, 12, (s[0]+1)/2, (s[1]+1)/2)
			want := refUpAdd(fine.image(), refConv(coarse.image(), l, f.values))
			newRun(k, 2).lateral(fine, coarse, &m)
			assert.InDeltaSlice(t, want.v, fine.v, tol, "%v", s)
		}
	})
}

// Oracle: the definition, max(v, 0).
func TestRelu(t *testing.T) {
	inf := float32(math.Inf(1))
	for _, v := range []float32{-inf, -3, -math.SmallestNonzeroFloat32, 0, math.SmallestNonzeroFloat32, 2, inf} {
		assert.Equal(t, max(v, 0), relu(v))
	}
	assert.False(t, math.Signbit(float64(relu(float32(math.Copysign(0, -1))))))
}
