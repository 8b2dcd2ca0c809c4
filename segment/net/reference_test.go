package net

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// This file is the oracle of the other tests: the network as the layer list
// describes it, in straight loops and double precision, one pixel at a time. It
// shares no code with the package but the layer type.

// image is c planes of doubles.
type image struct {
	c, w, h int
	v       []float64
}

func newImage(c, w, h int) image { return image{c, w, h, make([]float64, c*w*h)} }

func (m image) at(c, x, y int) *float64 { return &m.v[(c*m.h+y)*m.w+x] }

// refConv is one convolution: zero padding of k/2, no kernel flip, ceil(n/s).
func refConv(in image, l layer, floats []float32) image {
	out := newImage(l.Out, (in.w+l.Stride-1)/l.Stride, (in.h+l.Stride-1)/l.Stride)
	per := l.In / l.Groups
	for o := range l.Out {
		first := o / (l.Out / l.Groups) * per
		for y := range out.h {
			for x := range out.w {
				sum := float64(floats[l.BiasAt+o])
				for i := range per {
					for dy := range l.K {
						for dx := range l.K {
							sy, sx := y*l.Stride+dy-l.K/2, x*l.Stride+dx-l.K/2
							if sy < 0 || sx < 0 || sy >= in.h || sx >= in.w {
								continue
							}
							w := floats[l.WeightAt+((o*per+i)*l.K+dy)*l.K+dx]
							sum += float64(w) * *in.at(first+i, sx, sy)
						}
					}
				}
				if l.Relu {
					sum = math.Max(sum, 0)
				}
				*out.at(o, x, y) = sum
			}
		}
	}
	return out
}

func refAdd(a, b image) image {
	out := newImage(a.c, a.w, a.h)
	for i := range out.v {
		out.v[i] = a.v[i] + b.v[i]
	}
	return out
}

// refUpAdd is relu(fine + nearest(coarse)), nearest being index >> 1.
func refUpAdd(fine, coarse image) image {
	out := newImage(fine.c, fine.w, fine.h)
	for c := range out.c {
		for y := range out.h {
			for x := range out.w {
				*out.at(c, x, y) = math.Max(0, *fine.at(c, x, y)+*coarse.at(c, x>>1, y>>1))
			}
		}
	}
	return out
}

// refShuffle puts plane k at row 2y+k/2, column 2x+k%2, as coverage.
func refShuffle(four image, w, h int) []float64 {
	out := make([]float64, w*h)
	for y := range h {
		for x := range w {
			out[y*w+x] = 1 / (1 + math.Exp(-*four.at(y%2*2+x%2, x/2, y/2)))
		}
	}
	return out
}

// refStart scales the picture, puts the evidence after it, zero where there is none,
// and repeats the last row and column up to unit.
func refStart(given Input, unit int) image {
	w, h := given.W, given.H
	in := newImage(Planes, (w+unit-1)/unit*unit, (h+unit-1)/unit*unit)
	put := func(part []float32, c int, of func(v float64) float64) {
		for k := range len(part) / (w * h) {
			for y := range in.h {
				for x := range in.w {
					*in.at(c+k, x, y) = of(float64(part[(k*h+min(y, h-1))*w+min(x, w-1)]))
				}
			}
		}
	}
	asIs, one := func(v float64) float64 { return v }, func(float64) float64 { return 1 }
	put(given.RGB, 0, func(v float64) float64 { return (v - 0.5) * 4 })
	for i, part := range [][]float32{given.Bed, given.Second, given.Told} {
		put(part, 3+4*i, asIs)
		put(part[:len(part)/3], 6+4*i, one)
	}
	put(given.Painted, 15, asIs)
	return in
}

// refBlocks runs all layers named prefix…, block by block.
func refBlocks(x image, f listed, prefix string) image {
	for j := 0; ; j++ {
		name := fmt.Sprintf("%s.block%d", prefix, j)
		y, found, residual := x, false, false
		for _, l := range f.Layers {
			if strings.HasPrefix(l.Name, name+".") {
				y, found = refConv(y, l, f.values), true
				residual = strings.Contains(l.Name, ".residual.")
			}
		}
		if !found {
			return x
		}
		if residual {
			y = refAdd(x, y)
		}
		x = y
	}
}

// refTiles is the whole network.
func refTiles(f listed, given Input) []float64 {
	levels := 0
	byName := map[string]layer{}
	for _, l := range f.Layers {
		byName[l.Name] = l
		if strings.HasSuffix(l.Name, ".block0.0") {
			levels++
		}
	}
	x := refConv(refStart(given, 1<<levels), byName["stem.0"], f.values)
	var level []image
	for i := range levels {
		x = refBlocks(x, f, fmt.Sprintf("enc%d", i))
		level = append(level, x)
	}
	for i := levels - 2; i >= 0; i-- {
		x = refUpAdd(level[i], refConv(x, byName[fmt.Sprintf("lateral%d", i)], f.values))
		x = refBlocks(x, f, fmt.Sprintf("dec%d", i))
	}
	return refShuffle(refConv(x, byName["head"], f.values), given.W, given.H)
}

// listed is a layer list with its weights.
type listed struct {
	Floats int     `json:"floats"`
	Layers []layer `json:"layers"`
	values []float32
}

// add appends a layer with random weights, of a size that keeps the values of
// the planes about as large as those of its input.
func (f *listed) add(rng *rand.Rand, l layer) {
	per := l.In / l.Groups * l.K * l.K
	l.WeightAt = len(f.values)
	for range l.Out * per {
		f.values = append(f.values, float32(rng.NormFloat64()*math.Sqrt(1/float64(per))))
	}
	l.BiasAt = len(f.values)
	for range l.Out {
		f.values = append(f.values, float32(rng.NormFloat64()*0.2))
	}
	f.Layers, f.Floats = append(f.Layers, l), len(f.values)
}

func (f *listed) addBlock(rng *rand.Rand, name string, in, out, stride int) {
	f.add(rng, layer{Name: name + ".0", In: in, Out: in, K: 3, Stride: stride, Groups: in, Relu: true})
	f.add(rng, layer{Name: name + ".1", In: in, Out: out, K: 1, Stride: 1, Groups: 1, Relu: true})
}

// randomNet makes a network with one level per channel count.
func randomNet(rng *rand.Rand, channels []int, residuals int) listed {
	var f listed
	f.add(rng, layer{Name: "stem.0", In: Planes, Out: channels[0], K: 3, Stride: 2, Groups: 1, Relu: true})
	for i, c := range channels {
		f.addBlock(rng, fmt.Sprintf("enc%d.block0", i), channels[max(0, i-1)], c, 1+min(1, i))
		for j := range residuals {
			f.addBlock(rng, fmt.Sprintf("enc%d.block%d.residual", i, j+1), c, c, 1)
		}
	}
	for i := range len(channels) - 1 {
		f.add(rng, layer{Name: fmt.Sprintf("lateral%d", i), In: channels[i+1], Out: channels[i], K: 1, Stride: 1, Groups: 1})
	}
	for i, c := range channels[:len(channels)-1] {
		for j := range max(1, residuals) {
			f.addBlock(rng, fmt.Sprintf("dec%d.block%d.residual", i, j), c, c, 1)
		}
	}
	f.add(rng, layer{Name: "head", In: channels[0], Out: 4, K: 3, Stride: 1, Groups: 1})
	return f
}

// files are the two files of a network.
func (f listed) files() (layers, weights []byte) {
	layers, err := json.Marshal(f)
	if err != nil {
		panic(err)
	}
	for _, v := range f.values {
		weights = binary.LittleEndian.AppendUint32(weights, math.Float32bits(v))
	}
	return layers, weights
}
