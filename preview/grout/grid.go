package grout

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// grid is a picture reduced to cells of step × step px, for what changes slowly
// from pixel to pixel.
type grid struct {
	w, h int
	step int
	v    []float32
}

// newGrid fills a grid over a map, cell by cell; cell gets the pixels' box.
func newGrid(m *segment.Map, step, threads int, cell func(x0, y0, x1, y1 int) float32) *grid {
	g := &grid{w: (m.W + step - 1) / step, h: (m.H + step - 1) / step, step: step}
	g.v = make([]float32, g.w*g.h)
	colormath.Rows(g.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range g.w {
				g.v[y*g.w+x] = cell(x*step, y*step, min(x*step+step, m.W), min(y*step+step, m.H))
			}
		}
	})
	return g
}

// blurred is a separable Gaussian of σ px; beyond the picture's edge it sees what is
// at the edge.
func (g *grid) blurred(sigmaPx float64, threads int) *grid {
	sigma := sigmaPx / float64(g.step)
	k := int(math.Ceil(3 * sigma))
	bell := make([]float32, 2*k+1)
	var total float32
	for i := range bell {
		d := float64(i-k) / sigma
		bell[i] = float32(math.Exp(-d * d / 2))
		total += bell[i]
	}
	for i := range bell {
		bell[i] /= total
	}
	out := &grid{g.w, g.h, g.step, make([]float32, len(g.v))}
	across := make([]float32, len(g.v))
	colormath.Rows(g.h, threads, func(y0, y1 int) {
		padded := make([]float32, g.w+2*k)
		for y := y0; y < y1; y++ {
			pad(padded, g.v[y*g.w:(y+1)*g.w], k)
			convolve(across[y*g.w:(y+1)*g.w], padded, bell)
		}
	})
	colormath.Rows(g.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			to := out.v[y*g.w : (y+1)*g.w]
			for i, b := range bell {
				yy := min(max(y+i-k, 0), g.h-1)
				from := across[yy*g.w : (yy+1)*g.w]
				for x, v := range from {
					to[x] += b * v
				}
			}
		}
	})
	return out
}

// pad copies a row between k repetitions of its ends.
func pad(to, row []float32, k int) {
	copy(to[k:], row)
	for i := range k {
		to[i], to[len(to)-1-i] = row[0], row[len(row)-1]
	}
}

// convolve weights each place's surroundings; from is longer by the bell less one.
func convolve(to, from, bell []float32) {
	for x := range to {
		var s float32
		for i, v := range from[x : x+len(bell)] {
			s += bell[i] * v
		}
		to[x] = s
	}
}

// at reads the grid between its cells, bilinear, the edge repeated; x and y in px.
func (g *grid) at(x, y float64) float32 {
	s := float64(g.step)
	x, y = (x+.5)/s-.5, (y+.5)/s-.5
	x, y = min(max(x, 0), float64(g.w-1)), min(max(y, 0), float64(g.h-1))
	i, j := int(x), int(y)
	i1, j1 := min(i+1, g.w-1), min(j+1, g.h-1)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	top := g.v[j*g.w+i] + (g.v[j*g.w+i1]-g.v[j*g.w+i])*fx
	low := g.v[j1*g.w+i] + (g.v[j1*g.w+i1]-g.v[j1*g.w+i])*fx
	return top + (low-top)*fy
}

// line is a grid between its rows, at one row of the picture.
type line struct {
	step float32
	v    []float32
}

// line reads the grid at row y of the picture; buf is used again.
func (g *grid) line(y int, buf []float32) line {
	gy := min(max((float64(y)+.5)/float64(g.step)-.5, 0), float64(g.h-1))
	j := int(gy)
	j1, f := min(j+1, g.h-1), float32(gy-float64(j))
	buf = append(buf[:0], g.v[j*g.w:(j+1)*g.w]...)
	for i, low := range g.v[j1*g.w : (j1+1)*g.w] {
		buf[i] += (low - buf[i]) * f
	}
	return line{float32(g.step), buf}
}

func (l *line) at(x int) float32 {
	gx := min(max((float32(x)+.5)/l.step-.5, 0), float32(len(l.v)-1))
	i := int(gx)
	return l.v[i] + (l.v[min(i+1, len(l.v)-1)]-l.v[i])*(gx-float32(i))
}
