package net

import "fmt"

// Planes is how many planes the first layer reads, in the order of Input's
// fields (segment/train/evidence.py lists them too).
const Planes = 16

// Input is what the network is shown: a picture, and what else is known of it.
// Planes are w·h values, row by row, one plane after the other. Evidence that is
// not given is nil and costs nothing.
type Input struct {
	W, H int

	RGB []float32 // the picture, sRGB-encoded 0…1: three planes

	Pattern bool // the faces carry pattern: paint, print, veins

	// Each of these is three planes: a difference of sRGB-encoded values, times Gain.
	// The network reads a fourth beside them, 1 where they are given.
	Bed    []float32 // the picture less the open bed's colour in the same light
	Second []float32 // a second photo, laid over the first and matched to it, less the picture
	Told   []float32 // the picture less the nearest of the colours that strokes showed to be tile

	Painted []float32 // one plane: 1 where a stroke says tile, −1 where one says gap

	// Stop is closed when nobody wants the answer any more; the layers that are left are
	// then skipped, and what is returned means nothing. nil = never.
	Stop <-chan struct{}
}

// Gain is what differences are multiplied by, so that they lie about 0 and ±1.
const Gain = 4

// plane is one input plane: values less an offset, times a gain; or 1 all over.
type plane struct {
	planes
	c            int // channel of planes
	index        int // place among the first layer's inputs
	offset, gain float32
	one          bool
}

// given lists the planes that are there.
func (in *Input) given() (out []plane) {
	at := 0
	add := func(v []float32, c int, p plane) {
		for ; p.c < c && v != nil; p.c++ {
			p.planes, p.index = planes{v, c, in.W, in.H}, at+p.c
			out = append(out, p)
		}
		at += c
	}
	add(in.RGB, 3, plane{offset: 0.5, gain: 4})
	for _, v := range [][]float32{in.Bed, in.Second, in.Told} {
		add(v, 3, plane{gain: 1})
		add(v, 1, plane{one: true})
	}
	add(in.Painted, 1, plane{gain: 1})
	return out
}

// check panics on planes of the wrong size: a caller's mistake, not a photo's.
func (in *Input) check() {
	want := func(name string, v []float32, c int, need bool) {
		if n := c * in.W * in.H; len(v) != n && (need || v != nil) {
			panic(fmt.Sprintf("net: %s of %d×%d needs %d values, got %d", name, in.W, in.H, n, len(v)))
		}
	}
	if in.W < 1 || in.H < 1 {
		panic(fmt.Sprintf("net: no picture is %d×%d", in.W, in.H))
	}
	want("picture", in.RGB, 3, true)
	want("bed", in.Bed, 3, false)
	want("second photo", in.Second, 3, false)
	want("told colours", in.Told, 3, false)
	want("strokes", in.Painted, 1, false)
}

// stem is the first layer's weights as the file has them: out, Planes, 3, 3.
type stem struct {
	w, bias []float32
	out     int
}

// mixer makes the layer for the planes that are given. A plane that is not
// there is all 0 and would add nothing.
func (s *stem) mixer(given []plane) mixer {
	w := make([]float32, 0, s.out*len(given)*9)
	for o := range s.out {
		for _, p := range given {
			at := (o*Planes + p.index) * 9
			w = append(w, s.w[at:at+9]...)
		}
	}
	return newMixer(w, s.bias, 9*len(given), s.out)
}
