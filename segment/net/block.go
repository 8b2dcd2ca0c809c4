package net

// tileFloats is the aim for the input of a mixer, 32 KB: it fits the
// first-level cache of every processor of the last ten years.
const tileFloats = 8192

// window is the source of a band: its own rows lo…hi-1 are read from the
// planes, the rows just outside from copies, because the band's neighbours
// overwrite them meanwhile.
type window struct {
	planes
	lo, hi             int
	above, below, zero []float32
}

func (s *window) rowAt(c, y int) []float32 {
	switch {
	case y < 0 || y >= s.h:
		return s.zero[:s.w]
	case y < s.lo:
		return s.above[c*s.w:][:s.w]
	case y >= s.hi:
		return s.below[c*s.w:][:s.w]
	}
	return s.row(c, y)
}

// block runs a depthwise and a pointwise layer. dst may be src: the planes are
// then overwritten row by row, which halves the memory of a run.
func (r *run) block(dst, src planes, b *block, how put) {
	inPlace := &dst.v[0] == &src.v[0]
	if inPlace {
		r.bands(dst.h, func(s *scratch, lo, hi int) { s.keep(src, lo, hi) })
	}
	r.bands(dst.h, func(s *scratch, lo, hi int) {
		win := window{planes: src, hi: src.h, zero: r.mem.zero}
		if inPlace {
			win = window{src, lo, hi, s.above, s.below, r.mem.zero}
		}
		r.band(dst, &win, b, s, lo, hi, how)
	})
}

// keep copies the rows just outside a band.
func (s *scratch) keep(p planes, lo, hi int) {
	s.above, s.below = resize(s.above, p.c*p.w), resize(s.below, p.c*p.w)
	for c := range p.c {
		if lo > 0 {
			copy(s.above[c*p.w:], p.row(c, lo-1))
		}
		if hi < p.h {
			copy(s.below[c*p.w:], p.row(c, hi))
		}
	}
}

// band works through rows lo…hi-1 of dst in tiles of whole rows. The depthwise
// layer runs one tile ahead of the pointwise one, so that in place it still
// reads rows that are not yet overwritten.
func (r *run) band(dst planes, src *window, b *block, s *scratch, lo, hi int, how put) {
	step := max(1, tileFloats/(src.c*dst.w))
	ahead := r.depthwise(&s.tile[0], src, b, lo, min(hi, lo+step), dst.w)
	for y := lo; y < hi; y += step {
		tile := ahead
		if next := y + step; next < hi {
			turn := (next - lo) / step % 2
			ahead = r.depthwise(&s.tile[turn], src, b, next, min(hi, next+step), dst.w)
		}
		n := (min(hi, y+step) - y) * dst.w
		r.mix(&b.mix, view{dst.v[y*dst.w:], dst.w * dst.h}, tile, n, how, s)
	}
}

// depthwise fills a tile with rows lo…hi-1 of the depthwise layer, w pixels
// each.
func (r *run) depthwise(buf *[]float32, src *window, b *block, lo, hi, w int) view {
	tile := newTile(buf, len(b.taps), (hi-lo)*w)
	for c := range b.taps {
		for y := lo; y < hi; y++ {
			at := b.stride * y
			rows := [3][]float32{src.rowAt(c, at-1), src.rowAt(c, at), src.rowAt(c, at+1)}
			out := tile.v[c*tile.stride+(y-lo)*w:][:w]
			r.net.kernels.depthwise(out, rows, &b.taps[c], b.stride)
		}
	}
	return tile
}

// lateral adds the coarser level, brought to dst's channels and size (nearest),
// and cuts below 0: dst = relu(dst + up(mix(src))).
func (r *run) lateral(dst, src planes, m *mixer) {
	r.bands(src.h, func(s *scratch, lo, hi int) {
		step := max(1, tileFloats/(src.c*src.w))
		for y := lo; y < hi; y += step {
			end := min(hi, y+step)
			n := (end - y) * src.w
			in := newTile(&s.tile[0], src.c, n)
			for c := range src.c {
				copy(in.v[c*in.stride:], src.v[(c*src.h+y)*src.w:][:n])
			}
			out := newTile(&s.out, m.out, n)
			r.mix(m, out, in, n, putRaw, s)
			for c := range m.out {
				for fine := 2 * y; fine < min(2*end, dst.h); fine++ {
					addDoubled(dst.row(c, fine), out.v[c*out.stride+(fine/2-y)*src.w:])
				}
			}
		}
	})
}

// addDoubled adds each value of src to two neighbours of dst, then cuts below 0.
//
//go:noinline
func addDoubled(dst, src []float32) {
	src = src[:(len(dst)+1)/2]
	for j, v := range src[:len(dst)/2] {
		d := dst[2*j : 2*j+2 : 2*j+2]
		d[0], d[1] = relu(d[0]+v), relu(d[1]+v)
	}
	if n := len(dst); n%2 == 1 {
		dst[n-1] = relu(dst[n-1] + src[n/2])
	}
}
