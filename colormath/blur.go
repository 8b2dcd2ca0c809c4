package colormath

import "math"

// plane is one number per pixel, row by row.
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) plane { return plane{w, h, make([]float32, w*h)} }

func (p plane) row(y int) []float32 { return p.v[y*p.w : (y+1)*p.w] }

// planeOf returns the weighted sum of the picture's channels.
func planeOf(p *Picture, weights [3]float64, threads int) plane {
	out := newPlane(p.W, p.H)
	Rows(p.H, threads, func(y0, y1 int) {
		for i := y0 * p.W; i < y1*p.W; i++ {
			px := p.Pix[3*i : 3*i+3 : 3*i+3]
			out.v[i] = float32(weights[0]*float64(px[0]) + weights[1]*float64(px[1]) + weights[2]*float64(px[2]))
		}
	})
	return out
}

// addTo adds the plane to the picture's channels, each with its weight.
func (p plane) addTo(out *Picture, weights [3]float64, threads int) {
	Rows(p.h, threads, func(y0, y1 int) {
		for i := y0 * p.w; i < y1*p.w; i++ {
			px := out.Pix[3*i : 3*i+3 : 3*i+3]
			for c, w := range weights {
				px[c] = float32(float64(px[c]) + w*float64(p.v[i]))
			}
		}
	})
}

// kernel is one half of a symmetric row of weights: the middle one, then those
// at ±1, ±2…; they add up to 1.
type kernel []float64

// gaussianKernel returns exp(−x²/s²), s in pixels, up to 3.2·s, beyond which
// 6e-6 of it lies. Integrated, each weight is the area over a pixel; otherwise
// the value at its centre.
func gaussianKernel(s float64, integrated bool) kernel {
	n := int(math.Ceil(3.2*s+0.5)) + 1
	if integrated {
		return integratedGaussian(s, n).scaled()
	}
	return sampledGaussian(s, n).scaled()
}

// sampledGaussian returns the first n values of exp(−x²/s²), not scaled.
func sampledGaussian(s float64, n int) kernel {
	k := make(kernel, n)
	for i := range k {
		x := float64(i) / s
		k[i] = math.Exp(-x * x)
	}
	return k
}

// integratedGaussian returns its area over the first n pixels, times 2/(s·√π).
func integratedGaussian(s float64, n int) kernel {
	k := make(kernel, n)
	for i := range k {
		x := float64(i)
		k[i] = math.Erf((x+0.5)/s) - math.Erf((x-0.5)/s)
	}
	return k
}

// scaled returns the kernel divided by its sum over both sides.
func (k kernel) scaled() kernel {
	sum := -k[0]
	for _, v := range k {
		sum += 2 * v
	}
	for i := range k {
		k[i] /= sum
	}
	return k
}

// mirrored takes any whole number to 0…n−1 by reflection at the outer edges of
// the first and last pixel: … 1 0 | 0 1 … n−1 | n−1 n−2 …
func mirrored(i, n int) int {
	i %= 2 * n
	if i < 0 {
		i += 2 * n
	}
	if i >= n {
		i = 2*n - 1 - i
	}
	return i
}

// convolve blurs along rows, then along columns. Sums run in float64 in a fixed
// order, so the result is the same for any thread count.
func (p plane) convolve(across, down kernel, threads int) plane {
	half, out := newPlane(p.w, p.h), newPlane(p.w, p.h)
	Rows(p.h, threads, func(y0, y1 int) {
		reach := len(across) - 1
		wide := make([]float64, p.w+2*reach)
		for y := y0; y < y1; y++ {
			row := p.row(y)
			for i := range wide {
				wide[i] = float64(row[mirrored(i-reach, p.w)])
			}
			alongRow(half.row(y), wide, across)
		}
	})
	Rows(p.h, threads, func(y0, y1 int) {
		sum := make([]float64, p.w)
		for y := y0; y < y1; y++ {
			half.downColumns(out.row(y), sum, down, y)
		}
	})
	return out
}

// alongRow writes the blurred row; wide is the row with len(k)−1 more values on
// either side.
func alongRow(out []float32, wide []float64, k kernel) {
	reach := len(k) - 1
	for x := range out {
		at := wide[x : x+2*reach+1]
		sum := k[0] * at[reach]
		for j := 1; j < len(k); j++ {
			sum += k[j] * (at[reach-j] + at[reach+j])
		}
		out[x] = float32(sum)
	}
}

// downColumns writes row y of the plane blurred along columns; sum is room for
// one row. It goes through memory row by row, which is several times faster
// than going down each column.
func (p plane) downColumns(out []float32, sum []float64, k kernel, y int) {
	for x, v := range p.row(y) {
		sum[x] = k[0] * float64(v)
	}
	for j := 1; j < len(k); j++ {
		above, below := p.row(mirrored(y-j, p.h)), p.row(mirrored(y+j, p.h))
		for x := range sum {
			sum[x] += k[j] * float64(above[x]+below[x])
		}
	}
	for x := range out {
		out[x] = float32(sum[x])
	}
}

// reduce returns the means of mx × my cells of equal size, which share out the
// pixels that they cut. Cells of a whole number of pixels would be simpler, but
// then the last ones would reach over the edge and the mirror would stand in
// the wrong place.
func (p plane) reduce(mx, my, threads int) plane {
	out := newPlane(mx, my)
	columns := shares(p.w, mx)
	Rows(my, threads, func(y0, y1 int) {
		sum := make([]float64, mx+1) // one more, for the nothing beyond the last
		for y := y0; y < y1; y++ {
			clear(sum)
			for r := y * p.h / my; r*my < (y+1)*p.h; r++ {
				part := float64(min((r+1)*my, (y+1)*p.h)-max(r*my, y*p.h)) / float64(p.h)
				for x, v := range p.row(r) {
					s, v := columns[x], part*float64(v)
					sum[s.cell] += s.here * v
					sum[s.cell+1] += s.next * v
				}
			}
			for x := range mx {
				out.v[y*mx+x] = float32(sum[x])
			}
		}
	})
	return out
}

// share says to which cell a pixel goes, and with which weight to it and to the
// next one; the weights of a cell add up to 1.
type share struct {
	cell       int
	here, next float64
}

// shares lays n pixels over m ≤ n cells. In units of 1/m of a pixel, a pixel
// is m long and a cell n, so the overlaps are whole numbers.
func shares(n, m int) []share {
	s := make([]share, n)
	for i := range s {
		cell := i * m / n
		here := min((i+1)*m, (cell+1)*n) - i*m
		s[i] = share{cell, float64(here) / float64(n), float64(m-here) / float64(n)}
	}
	return s
}

// spreadOver adds the plane times weight to a plane as large or larger, by
// straight lines between the centres of its cells.
func (p plane) spreadOver(out plane, weight float64, threads int) {
	columns, rows := between(out.w, p.w), between(out.h, p.h)
	Rows(out.h, threads, func(y0, y1 int) {
		line := make([]float64, p.w)
		for y := y0; y < y1; y++ {
			at := rows[y]
			upper, lower := p.row(at.first), p.row(at.second)
			for x := range line {
				line[x] = weight * (float64(upper[x]) + at.part*(float64(lower[x])-float64(upper[x])))
			}
			row := out.row(y)
			for x, c := range columns {
				row[x] += float32(line[c.first] + c.part*(line[c.second]-line[c.first]))
			}
		}
	})
}

// place is a position between two cells: part 0 is the first, 1 the second.
type place struct {
	first, second int
	part          float64
}

// between places n pixels among the centres of m cells; before the first and
// behind the last centre the mirror image makes the line level.
func between(n, m int) []place {
	places := make([]place, n)
	for i := range places {
		at := (float64(i)+0.5)*float64(m)/float64(n) - 0.5
		lower := math.Floor(at)
		places[i] = place{
			first:  max(0, int(lower)),
			second: min(int(lower)+1, m-1),
			part:   at - lower,
		}
	}
	return places
}
