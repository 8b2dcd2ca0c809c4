package segment

import (
	"cmp"
	"slices"

	"gapshade/colormath"
)

// change is what the other paper changes in a view.
type change struct {
	ev         *evidence
	tiles      *pieces
	light      *plane // luminance on light paper less that on dark paper: light of the bed
	face       []face // by tile number; face[0] is unused
	unit, seen float64
}

// face is the middle of one tile's face, clear of its edges.
type face struct {
	bright float64 // luminance on dark paper
	change float64 // light of the bed there: not 0 in tiles that light passes
}

// faceClear is how far from the gap a face is free of what the paper does to it, px:
// light thrown on bevels, edges drawn aside.
const faceClear = 4

// change subtracts the photos; ev holds the evidence of both.
func (o *overlay) change(ev *evidence, threads int) *change {
	c := &change{ev: ev, tiles: ev.pieces(), light: newPlane(ev.w, ev.h)}
	dark, sign := o.laidOver.view, float32(1)
	if o.reading.Lighter {
		dark, sign = ev.view, -1
	}
	colormath.Rows(ev.h, threads, func(y0, y1 int) {
		for i := y0 * ev.w; i < y1*ev.w; i++ {
			c.light.v[i] = sign * float32(ev.luminance(i)-o.luminance(i))
		}
	})
	c.faces(dark)
	return c
}

// faces averages each tile's face, clear of its edges as far as the tile is large
// enough for that.
func (c *change) faces(dark *view) {
	c.face = make([]face, c.tiles.n+1)
	deepest, count := make([]float32, c.tiles.n+1), make([]float64, c.tiles.n+1)
	for i, l := range c.tiles.label {
		deepest[l] = max(deepest[l], c.tiles.inside[i])
	}
	for i, l := range c.tiles.label {
		if l > 0 && c.tiles.inside[i] > min(faceClear, .7*deepest[l]) {
			c.face[l].bright += dark.luminance(i)
			c.face[l].change += float64(c.light.v[i])
			count[l]++
		}
	}
	for l := range c.face {
		c.face[l].bright /= max(count[l], 1)
		c.face[l].change /= max(count[l], 1)
	}
}

// seeThrough is the least share of the bed's light that counts as coming through a
// tile. Faces of one panel differ between two photos by about 2 %, and a face is
// seldom more than twice as bright as the bed (ours).
const seeThrough = 0.06

// through gives the share of the bed's light that passes each tile pixel, nil when no
// tile lets any pass, and how many tiles do. A tile's rim takes the value of its
// face: there the gap's own light mixes in.
func (c *change) through(threads int) (*plane, int) {
	bed := c.bedLight(threads)
	middle := c.faceShares(bed)
	n := 0
	for l, m := range middle {
		if m < seeThrough {
			middle[l] = 0
		} else {
			n++
		}
	}
	if n == 0 {
		return nil, 0
	}
	p := newPlane(c.ev.w, c.ev.h)
	colormath.Rows(c.ev.h, threads, func(y0, y1 int) {
		for i := y0 * c.ev.w; i < y1*c.ev.w; i++ {
			l := c.tiles.owner(i)
			switch m := middle[l]; {
			case m == 0:
			case c.tiles.inside[i] > faceClear:
				p.v[i] = min(max(c.light.v[i]/bed.v[i], 0), 1)
			default:
				p.v[i] = float32(min(m, 1))
			}
		}
	})
	return p, n
}

// faceShares is the middle share of the bed's light over each tile's face.
func (c *change) faceShares(bed *plane) []float64 {
	of := make([][]float64, c.tiles.n+1)
	for i, l := range c.tiles.label {
		if l > 0 && c.tiles.inside[i] > faceClear && bed.v[i] > 0 {
			of[l] = append(of[l], float64(c.light.v[i]/bed.v[i]))
		}
	}
	out := make([]float64, len(of))
	for l, v := range of {
		if len(v) > 0 {
			slices.SortFunc(v, cmp.Compare[float64])
			out[l] = colormath.Quantile(v, .5)
		}
	}
	return out
}

// bedLight is the light of open bed over the whole view: the best-lit quarter of the
// gaps' middles in each of a grid of squares, carried over to where no gap is.
func (c *change) bedLight(threads int) *plane {
	side := max(8, int(c.ev.lay.gap*6))
	nx, ny := max(1, c.ev.w/side), max(1, c.ev.h/side)
	cell := make([][]float64, nx*ny)
	var all []float64
	for i, in := range c.ev.lay.panel {
		if in && c.tiles.outside[i] > gapClear {
			x, y := min(i%c.ev.w/side, nx-1), min(i/c.ev.w/side, ny-1)
			cell[y*nx+x] = append(cell[y*nx+x], float64(c.light.v[i]))
			all = append(all, float64(c.light.v[i]))
		}
	}
	slices.SortFunc(all, cmp.Compare[float64])
	overall := max(colormath.Quantile(all, .75), 1e-4)
	coarse := newPlane(nx, ny)
	for k, v := range cell {
		coarse.v[k] = float32(overall)
		if len(v) >= 30 {
			slices.SortFunc(v, cmp.Compare[float64])
			coarse.v[k] = float32(max(colormath.Quantile(v, .75), overall/10))
		}
	}
	out := newPlane(c.ev.w, c.ev.h)
	colormath.Rows(out.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range out.w {
				out.v[y*out.w+x] = coarse.at((float64(x)+.5)/float64(side)-.5, (float64(y)+.5)/float64(side)-.5)
			}
		}
	})
	return out
}

// letThrough writes the share of light that passes tiles at full resolution.
func (m *Map) letThrough(ev *evidence, threads int) {
	if ev.through == nil {
		return
	}
	m.Through = make([]uint8, m.W*m.H)
	colormath.Rows(len(m.Inside), threads, func(s0, s1 int) {
		for _, s := range m.Inside[s0:s1] {
			for x := s.X0; x < s.X1; x++ {
				i := s.Y*m.W + x
				if m.Gap[i] < 255 {
					m.Through[i] = uint8(255*ev.through.at(ev.toView(float64(x), float64(s.Y))) + .5)
				}
			}
		}
	})
}
