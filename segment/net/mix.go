package net

import "math"

// mixer is a pointwise layer: every output plane is a weighted sum of all input
// planes. The 3×3 layers of stem and head are mixers too, over nine shifted
// copies of each plane.
type mixer struct {
	in, out int       // in is rounded up to a multiple of 4, with zero weights
	w       []float32 // blocks of four outputs by four inputs, see newMixer
	bias    []float32
}

// newMixer takes weights in the order out, in. It reorders them into blocks of
// 4×4, all inputs of outputs 0…3 first: that is the order the loops read.
func newMixer(w, bias []float32, in, out int) mixer {
	m := mixer{in: (in + 3) / 4 * 4, out: out, bias: bias}
	m.w = make([]float32, m.in*m.out)
	for i, v := range w {
		o, k := i/in, i%in
		m.w[(o/4*m.in+k/4*4)*4+o%4*4+k%4] = v
	}
	return m
}

// put says what becomes of a mixer's sum.
type put int

const (
	putRaw  put = iota // dst = sum
	putRelu            // dst = relu(sum)
	putAdd             // dst = dst + relu(sum), the residual block
	putSum             // dst = dst + sum, of a mixer whose biases are zero
)

// view is a run of pixels in several planes: plane p begins at v[p·stride].
type view struct {
	v      []float32
	stride int
}

// plane returns the n pixels of plane p.
func (v view) plane(p, n int) []float32 { return v.v[p*v.stride:][:n] }

// newTile sizes buf for c planes of n pixels. Planes begin on a multiple of
// eight pixels, so that a loop over eight at a time may read past n.
func newTile(buf *[]float32, c, n int) view {
	stride := (n + 7) / 8 * 8
	*buf = resize(*buf, c*stride)
	return view{*buf, stride}
}

// mix runs a mixer over n pixels, in pieces whose inputs stay in the
// first-level cache while all outputs are made from them.
func (r *run) mix(m *mixer, dst, src view, n int, how put, s *scratch) {
	piece := max(48, tileFloats/m.in/24*24)
	s.acc = resize(s.acc, 2*piece)
	for at := 0; at < n; at += piece {
		in := view{src.v[at:], src.stride}
		for o := 0; o < m.out; o += 4 {
			out := view{dst.v[o*dst.stride+at:], dst.stride}
			r.net.kernels.mix(m, o, out, in, min(piece, n-at), how, s.acc)
		}
	}
}

// mixPlain makes output planes o…o+3 in plain Go, two at a time from four
// inputs at a time: a wider pass runs out of registers, a narrower one spends
// its time on loads and stores.
func mixPlain(m *mixer, o int, dst, src view, n int, how put, acc []float32) {
	for i := 0; i < 4; i += 2 {
		p := pass{bias: [2]float32{m.bias[o+i], m.bias[o+i+1]}}
		for j := range 2 {
			p.dst[j] = dst.plane(i+j, n)
			p.sum[j] = p.dst[j]
			if how == putAdd { // dst is still needed
				p.sum[j] = acc[j*n:][:n]
			}
		}
		w := m.w[o*m.in+4*i:]
		for k := 0; k < m.in; k += 4 {
			for j := range 4 {
				p.in[j] = src.plane(k+j, n)
			}
			p.w = (*[8]float32)(w[4*k:])
			switch {
			case k == 0 && how != putSum:
				p.first()
			case k+4 < m.in || how == putRaw || how == putSum:
				p.next()
			case how == putRelu:
				p.lastRelu()
			default:
				p.lastAdd()
			}
		}
	}
}

// pass adds four weighted inputs to each of two sums. A mixer has at least
// eight inputs, so that its first pass is never its last. Each loop is a
// function of its own: inlined, its counter would live on the stack.
type pass struct {
	dst, sum [2][]float32
	in       [4][]float32
	w        *[8]float32
	bias     [2]float32
}

// first sets the sums, starting from the biases.
//
//go:noinline
func (p *pass) first() {
	s0 := p.sum[0]
	s1, a0, a1, a2, a3 := p.sum[1][:len(s0)], p.in[0][:len(s0)], p.in[1][:len(s0)], p.in[2][:len(s0)], p.in[3][:len(s0)]
	w0, w1, w2, w3, w4, w5, w6, w7 := p.w[0], p.w[1], p.w[2], p.w[3], p.w[4], p.w[5], p.w[6], p.w[7]
	b0, b1 := p.bias[0], p.bias[1]
	for i := range s0 {
		v0, v1, v2, v3 := a0[i], a1[i], a2[i], a3[i]
		s0[i] = b0 + (w0*v0 + w1*v1 + w2*v2 + w3*v3)
		s1[i] = b1 + (w4*v0 + w5*v1 + w6*v2 + w7*v3)
	}
}

// next adds to the sums.
//
//go:noinline
func (p *pass) next() {
	s0 := p.sum[0]
	s1, a0, a1, a2, a3 := p.sum[1][:len(s0)], p.in[0][:len(s0)], p.in[1][:len(s0)], p.in[2][:len(s0)], p.in[3][:len(s0)]
	w0, w1, w2, w3, w4, w5, w6, w7 := p.w[0], p.w[1], p.w[2], p.w[3], p.w[4], p.w[5], p.w[6], p.w[7]
	for i := range s0 {
		v0, v1, v2, v3 := a0[i], a1[i], a2[i], a3[i]
		s0[i] += w0*v0 + w1*v1 + w2*v2 + w3*v3
		s1[i] += w4*v0 + w5*v1 + w6*v2 + w7*v3
	}
}

// lastRelu is next with the ReLU after it.
//
//go:noinline
func (p *pass) lastRelu() {
	s0 := p.sum[0]
	s1, a0, a1, a2, a3 := p.sum[1][:len(s0)], p.in[0][:len(s0)], p.in[1][:len(s0)], p.in[2][:len(s0)], p.in[3][:len(s0)]
	w0, w1, w2, w3, w4, w5, w6, w7 := p.w[0], p.w[1], p.w[2], p.w[3], p.w[4], p.w[5], p.w[6], p.w[7]
	for i := range s0 {
		v0, v1, v2, v3 := a0[i], a1[i], a2[i], a3[i]
		s0[i] = relu(s0[i] + (w0*v0 + w1*v1 + w2*v2 + w3*v3))
		s1[i] = relu(s1[i] + (w4*v0 + w5*v1 + w6*v2 + w7*v3))
	}
}

// lastAdd is lastRelu added to dst.
//
//go:noinline
func (p *pass) lastAdd() {
	s0 := p.sum[0]
	s1, a0, a1, a2, a3 := p.sum[1][:len(s0)], p.in[0][:len(s0)], p.in[1][:len(s0)], p.in[2][:len(s0)], p.in[3][:len(s0)]
	d0, d1 := p.dst[0][:len(s0)], p.dst[1][:len(s0)]
	w0, w1, w2, w3, w4, w5, w6, w7 := p.w[0], p.w[1], p.w[2], p.w[3], p.w[4], p.w[5], p.w[6], p.w[7]
	for i := range s0 {
		v0, v1, v2, v3 := a0[i], a1[i], a2[i], a3[i]
		d0[i] += relu(s0[i] + (w0*v0 + w1*v1 + w2*v2 + w3*v3))
		d1[i] += relu(s1[i] + (w4*v0 + w5*v1 + w6*v2 + w7*v3))
	}
}

func fill(d []float32, v float32) {
	for i := range d {
		d[i] = v
	}
}

// relu is max(v, 0) without a branch: the sign bit spread over the word masks
// the value out. A branch would be mispredicted every other pixel.
func relu(v float32) float32 {
	b := int32(math.Float32bits(v))
	return math.Float32frombits(uint32(b &^ (b >> 31)))
}
