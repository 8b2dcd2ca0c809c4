package grout

import (
	"image"
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

// cell gives the value of a cell from the box of its pixels.
type cell func(x0, y0, x1, y1 int) float32

// newGrid is an empty grid over a map.
func newGrid(m *segment.Map, step int) *grid {
	g := &grid{w: (m.W + step - 1) / step, h: (m.H + step - 1) / step, step: step}
	g.v = make([]float32, g.w*g.h)
	return g
}

// reached are the grid's cells that a box of the picture reaches, so many px more on
// every side.
func (g *grid) reached(box image.Rectangle, more float64) image.Rectangle {
	low := func(v int) int { return int(math.Floor((float64(v) - more) / float64(g.step))) }
	high := func(v int) int { return int(math.Ceil((float64(v) + more) / float64(g.step))) }
	return image.Rect(low(box.Min.X), low(box.Min.Y), high(box.Max.X), high(box.Max.Y)).Intersect(g.all())
}

// seenFrom is the box of the picture that is read from cells.
func (g *grid) seenFrom(cells image.Rectangle) image.Rectangle {
	return image.Rect((cells.Min.X-1)*g.step, (cells.Min.Y-1)*g.step, (cells.Max.X+1)*g.step, (cells.Max.Y+1)*g.step)
}

func (g *grid) all() image.Rectangle { return image.Rect(0, 0, g.w, g.h) }

// fill sets cells, one by one.
func (g *grid) fill(m *segment.Map, cells image.Rectangle, threads int, c cell) {
	step := g.step
	colormath.Rows(cells.Dy(), threads, func(a, b int) {
		for y := cells.Min.Y + a; y < cells.Min.Y+b; y++ {
			for x := cells.Min.X; x < cells.Max.X; x++ {
				g.v[y*g.w+x] = c(x*step, y*step, min(x*step+step, m.W), min(y*step+step, m.H))
			}
		}
	})
}

// cells gives the values of one cell of several grids from the box of its pixels.
type cells func(x0, y0, x1, y1 int, out []float32)

// soften sets a part of grids of one shape to what a Gaussian of σ px makes of c; beyond
// the picture's edge it sees what is at the edge. Together, because looking at all pixels
// takes longest.
func soften(gs []*grid, m *segment.Map, part image.Rectangle, sigmaPx float64, threads int, c cells) {
	bell := bellOf(sigmaPx / float64(gs[0].step))
	seen := part.Inset(-len(bell) / 2).Intersect(gs[0].all())
	hard := make([]*grid, len(gs))
	for i := range hard {
		hard[i] = newGrid(m, gs[0].step)
	}
	step := gs[0].step
	colormath.Rows(seen.Dy(), threads, func(a, b int) {
		out := make([]float32, len(gs))
		for y := seen.Min.Y + a; y < seen.Min.Y+b; y++ {
			for x := seen.Min.X; x < seen.Max.X; x++ {
				c(x*step, y*step, min(x*step+step, m.W), min(y*step+step, m.H), out)
				for i, v := range out {
					hard[i].v[y*hard[i].w+x] = v
				}
			}
		}
	})
	for i, g := range gs {
		g.soft(hard[i], seen, part, bell, threads)
	}
}

// soft sets a part of a grid to what a bell makes of the cells of hard, known where seen;
// hard's are spoilt.
func (g *grid) soft(hard *grid, seen, part image.Rectangle, bell []float32, threads int) {
	k := len(bell) / 2
	colormath.Rows(seen.Dy(), threads, func(a, b int) {
		padded := make([]float32, part.Dx()+2*k)
		for y := seen.Min.Y + a; y < seen.Min.Y+b; y++ {
			row := hard.v[y*g.w : (y+1)*g.w]
			for i := range padded {
				padded[i] = row[min(max(part.Min.X+i-k, 0), g.w-1)]
			}
			convolve(row[part.Min.X:part.Max.X], padded, bell)
		}
	})
	colormath.Rows(part.Dy(), threads, func(a, b int) {
		for y := part.Min.Y + a; y < part.Min.Y+b; y++ {
			row := g.v[y*g.w+part.Min.X : y*g.w+part.Max.X]
			clear(row)
			for i, w := range bell {
				yy := min(max(y+i-k, 0), g.h-1)
				for x, v := range hard.v[yy*g.w+part.Min.X : yy*g.w+part.Max.X] {
					row[x] += w * v
				}
			}
		}
	})
}

// bellOf is a Gaussian of σ cells, three σ to either side, that adds up to 1.
func bellOf(sigma float64) []float32 {
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
	return bell
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
