package net

import "math"

// stem runs the first layer on the picture and its evidence. Pixels past the right
// and bottom edge repeat the last column and row: the grey that the layers pad with
// would move the gaps at the border more.
func (r *run) stem(dst planes, in *Input) {
	given := in.given()
	m := r.net.stem.mixer(given)
	piece := tileFloats / m.in
	r.bands(dst.h, func(s *scratch, lo, hi int) {
		for y := lo; y < hi; y++ {
			for x := 0; x < dst.w; x += piece {
				n := min(piece, dst.w-x)
				tile := newTile(&s.tile[0], m.in, n)
				for k := 9 * len(given); k < m.in; k++ {
					fill(tile.plane(k, n), 0) // inputs are rounded up to a multiple of four
				}
				for k := range 9 * len(given) {
					given[k/9].gather(tile.plane(k, n), 2*y+k/3%3-1, 2*x+k%3-1)
				}
				out := view{dst.v[y*dst.w+x:], dst.w * dst.h}
				r.mix(&m, out, tile, n, putRelu, s)
			}
		}
	})
}

// gather takes every second pixel of row y, from x on, as the network wants its
// inputs: around 0, and zero left of and above the picture.
func (p *plane) gather(d []float32, y, x int) {
	if y < 0 {
		fill(d, 0)
		return
	}
	if x < 0 {
		d[0], d, x = 0, d[1:], x+2
	}
	if p.one {
		fill(d, 1)
		return
	}
	row := p.row(p.c, min(y, p.h-1))
	last := row[len(row)-1]
	row = row[min(x, len(row)):]
	n := min(len(d), (len(row)+1)/2)
	offset, gain := p.offset, p.gain
	for j := range d[:n] {
		d[j] = (row[2*j] - offset) * gain
	}
	fill(d[n:], (last-offset)*gain)
}

// newHead splits the weights of a 3×3 layer (out, in, 3, 3) into nine mixers,
// one per tap. The first carries the bias.
func newHead(w, bias []float32, in, out int) (head [9]mixer) {
	for t := range head {
		at := make([]float32, in*out)
		for i := range at {
			at[i] = w[9*i+t]
		}
		head[t] = newMixer(at, bias, in, out)
		bias = make([]float32, out)
	}
	return head
}

// head runs the last layer: four planes at half size are the four pixels of
// each 2×2 square, cut to the picture's size, as coverage. Its nine taps are
// nine mixers that look at the same rows, shifted: copying the pixels together
// for one mixer over all taps would cost as much as the sums.
func (r *run) head(dst, src planes, head *[9]mixer) {
	r.bands((dst.h+1)/2, func(s *scratch, lo, hi int) {
		// Three rows of all planes, in turn, with a zero at either end.
		var rows [3]view
		stride := src.w + 16 // shifted by two, eight at a time
		size := src.c * stride
		s.tile[0] = resize(s.tile[0], 3*size)
		for i := range rows {
			rows[i] = view{s.tile[0][i*size:][:size:size], stride}
		}
		r.padRow(rows[(lo+2)%3], src, lo-1)
		r.padRow(rows[lo%3], src, lo)
		for y := lo; y < hi; y++ {
			r.padRow(rows[(y+1)%3], src, y+1)
			r.headRow(dst, &rows, y, src.w, head, s)
		}
	})
}

// padRow copies row y of all planes, zero where the picture ends.
func (r *run) padRow(d view, src planes, y int) {
	win := window{planes: src, hi: src.h, zero: r.mem.zero}
	for c := range src.c {
		p := d.plane(c, d.stride)
		p[0] = 0
		copy(p[1:], win.rowAt(c, y))
		fill(p[1+src.w:], 0)
	}
}

// headRow makes the two picture rows that belong to row y, from rows y-1, y and
// y+1, a piece at a time.
func (r *run) headRow(dst planes, rows *[3]view, y, w int, head *[9]mixer, s *scratch) {
	piece := tileFloats / head[0].in
	for x := 0; x < w; x += piece {
		n := min(piece, w-x)
		out := newTile(&s.out, 4, n)
		how := putRaw
		for t := range head {
			in := rows[(y+t/3+2)%3]
			r.mix(&head[t], out, view{in.v[x+t%3:], in.stride}, n, how, s)
			how = putSum
		}
		for k := 0; k < 4 && 2*y+k/2 < dst.h; k += 2 {
			shuffle(dst.row(0, 2*y+k/2)[2*x:], out.plane(k, n), out.plane(k+1, n))
		}
	}
}

// shuffle interleaves the coverage of even and odd pixels. d may end early.
func shuffle(d, even, odd []float32) {
	n := min(len(d)/2, len(even))
	odd = odd[:len(even)]
	for i, v := range even[:n] {
		d[2*i], d[2*i+1] = sigmoid(v), sigmoid(odd[i])
	}
	if n < len(even) && 2*n < len(d) {
		d[2*n] = sigmoid(even[n])
	}
}

// sigmoid goes through double precision: math.Exp is assembly on most machines,
// and all pixels together take a twenty-fifth of the fast run.
func sigmoid(v float32) float32 { return float32(1 / (1 + math.Exp(-float64(v)))) }
