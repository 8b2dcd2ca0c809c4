package net

import (
	_ "embed"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
)

//go:embed layers.json
var layersJSON []byte

//go:embed weights.f32
var weightsF32 []byte

// The last level once more, as it is where faces carry pattern.
var (
	//go:embed pattern.json
	patternJSON []byte
	//go:embed pattern.f32
	patternF32 []byte
)

// layer is one convolution as the layer list names it. Its weights stand at
// WeightAt in the order out, in/groups, k, k, its biases at BiasAt.
type layer struct {
	Name     string `json:"name"`
	Out      int    `json:"out"`
	In       int    `json:"inp"`
	K        int    `json:"k"`
	Stride   int    `json:"stride"`
	Groups   int    `json:"groups"`
	Relu     bool   `json:"relu"`
	WeightAt int    `json:"weight_at"`
	BiasAt   int    `json:"bias_at"`
}

// shape is what a layer must look like at its place in the network; out 0
// leaves the number of output channels to the file.
type shape struct {
	in, out, k, stride, groups int
	relu                       bool
}

// Parse builds a network from a layer list (JSON) and its weights (float32,
// little-endian). Channel counts, blocks per level and levels are free; the
// architecture (see the package comment) is not. The error names the first
// layer that does not fit.
func Parse(layers, weights []byte) (*Net, error) {
	r, err := open(layers, weights)
	if err != nil {
		return nil, err
	}
	n := r.net()
	if err := r.end(); err != nil {
		return nil, err
	}
	return n, nil
}

// parseLast builds another last level for a network of more than one level.
func parseLast(n *Net, layers, weights []byte) (*last, error) {
	r, err := open(layers, weights)
	if err != nil {
		return nil, err
	}
	c := n.channels(0)
	l := &last{lateral: r.lateral(0, n.channels(1), c), dec: r.blocks("dec", 0, c, nil), head: r.head(c)}
	return l, r.end()
}

// open reads a layer list and its weights.
func open(layers, weights []byte) (*reader, error) {
	var file struct {
		Floats int     `json:"floats"`
		Layers []layer `json:"layers"`
	}
	if err := json.Unmarshal(layers, &file); err != nil {
		return nil, fmt.Errorf("network: layer list: %w", err)
	}
	if len(weights) != 4*file.Floats {
		return nil, fmt.Errorf("network: weights hold %d bytes, the layer list says %d floats (%d bytes): export both files together", len(weights), file.Floats, 4*file.Floats)
	}
	r := &reader{layers: file.Layers, floats: make([]float32, file.Floats)}
	for i := range r.floats {
		r.floats[i] = math.Float32frombits(binary.LittleEndian.Uint32(weights[4*i:]))
		if v := float64(r.floats[i]); math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("network: weight %d is not finite", i)
		}
	}
	return r, nil
}

// end says whether the list was right and is used up.
func (r *reader) end() error {
	if r.err == nil && (len(r.layers) > 0 || r.used != len(r.floats)) {
		r.err = fmt.Errorf("%d layers and %d floats are left over after the head", len(r.layers), len(r.floats)-r.used)
	}
	if r.err != nil {
		return fmt.Errorf("network: %w", r.err)
	}
	return nil
}

// reader walks the layer list in file order and keeps the first error, so that
// the walk below reads like the architecture.
type reader struct {
	layers []layer
	floats []float32
	used   int // floats handed out so far
	err    error
}

// net reads the architecture of the package comment, stem to head. The number
// of levels is however many the list has.
func (r *reader) net() *Net {
	n := &Net{kernels: bestKernels()}
	n.stem.w, n.stem.bias, n.stem.out = r.layer("stem.0", shape{in: Planes, k: 3, stride: 2, groups: 1, relu: true})
	c := n.stem.out
	for i := 0; r.next("enc%d.block0.0", i); i++ {
		// Level 0 works at the stem's size, every other at half the one before.
		first := r.block(fmt.Sprintf("enc%d.block0", i), c, 0, 1+min(i, 1))
		c = first.mix.out
		n.enc = append(n.enc, r.blocks("enc", i, c, []block{first}))
	}
	if len(n.enc) == 0 {
		r.fail("stem is followed by no enc0.block0")
		return n
	}
	for i := range len(n.enc) - 1 {
		n.lateral = append(n.lateral, r.lateral(i, n.channels(i+1), n.channels(i)))
	}
	for i := range n.lateral {
		n.dec = append(n.dec, r.blocks("dec", i, n.channels(i), nil))
	}
	n.head = r.head(n.channels(0))
	return n
}

// lateral reads the layer that brings level i+1 to the channels of level i.
func (r *reader) lateral(i, in, out int) mixer {
	return r.mixer(fmt.Sprintf("lateral%d", i), shape{in: in, out: out, k: 1, stride: 1, groups: 1})
}

func (r *reader) head(in int) (h [9]mixer) {
	w, bias, _ := r.layer("head", shape{in: in, out: 4, k: 3, stride: 1, groups: 1})
	if r.err == nil {
		h = newHead(w, bias, in, 4)
	}
	return h
}

// blocks appends the residual blocks of one level, which keep its c channels.
func (r *reader) blocks(stage string, level, c int, bs []block) []block {
	for r.next("%s%d.block%d.residual.0", stage, level, len(bs)) {
		bs = append(bs, r.block(fmt.Sprintf("%s%d.block%d.residual", stage, level, len(bs)), c, c, 1))
	}
	return bs
}

// block reads a depthwise layer and the pointwise layer after it.
func (r *reader) block(name string, in, out, stride int) block {
	w, bias, _ := r.layer(name+".0", shape{in: in, out: in, k: 3, stride: stride, groups: in, relu: true})
	b := block{stride: stride, taps: make([]taps, len(bias))}
	for c := range b.taps {
		copy(b.taps[c][:9], w[9*c:])
		b.taps[c][9] = bias[c]
	}
	b.mix = r.mixer(name+".1", shape{in: in, out: out, k: 1, stride: 1, groups: 1, relu: true})
	return b
}

// mixer reads a layer that is one weighted sum over all its taps and inputs.
func (r *reader) mixer(name string, s shape) mixer {
	w, bias, out := r.layer(name, s)
	return newMixer(w, bias, s.in*s.k*s.k, out)
}

// next reports whether the next layer has this name.
func (r *reader) next(format string, args ...any) bool {
	return r.err == nil && len(r.layers) > 0 && r.layers[0].Name == fmt.Sprintf(format, args...)
}

// layer takes the next layer off the list and returns its weights, biases and
// number of output channels. Weights must stand back to back in file order:
// a stray offset would otherwise give a network that runs and finds nonsense.
func (r *reader) layer(name string, s shape) (w, bias []float32, out int) {
	if r.err != nil {
		return nil, nil, 0
	}
	if len(r.layers) == 0 {
		r.fail("layer list ends before %s", name)
		return nil, nil, 0
	}
	l := r.layers[0]
	r.layers = r.layers[1:]
	if s.out == 0 {
		s.out = l.Out
	}
	// The shape is compared before the sizes are used: no list, however broken,
	// makes the program reach outside the weights or reserve absurd memory.
	size := s.out * (s.in / s.groups) * s.k * s.k
	switch got := (shape{l.In, l.Out, l.K, l.Stride, l.Groups, l.Relu}); {
	case l.Name != name:
		r.fail("layer %q stands where %q is expected", l.Name, name)
	case got != s:
		r.fail("layer %s is %+v, expected %+v", name, got, s)
	case name != "head" && (s.out < 8 || s.out%4 != 0 || s.out > 4096):
		r.fail("layer %s has %d channels: the loops take four at a time, train with a multiple of 4, 8 to 4096", name, s.out)
	case l.WeightAt != r.used || l.BiasAt != r.used+size || l.BiasAt+s.out > len(r.floats):
		r.fail("layer %s: weights at %d, biases at %d of %d floats, expected %d and %d", name, l.WeightAt, l.BiasAt, len(r.floats), r.used, r.used+size)
	}
	if r.err != nil {
		return nil, nil, 0
	}
	r.used += size + s.out
	return r.floats[l.WeightAt:l.BiasAt], r.floats[l.BiasAt:r.used], s.out
}

// fail keeps the first error; what follows from it is of no use to anyone.
func (r *reader) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}
