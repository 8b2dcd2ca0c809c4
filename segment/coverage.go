package segment

import (
	"cmp"
	"image"
	"slices"

	"gapshade/colormath"
)

// panel sets the panel's corners and outline in picture px.
func (m *Map) panel(ev *evidence, opt Options) {
	lay := ev.lay
	m.WholePicture = lay.whole
	if opt.Panel != nil {
		m.Panel = *opt.Panel
		m.Outline, m.Holes = m.Panel[:], opt.Holes
	} else {
		m.Panel, m.Free = Quad(ev.pointsInPicture(lay.quad[:])), lay.free
		m.Outline = ev.pointsInPicture(lay.pts)
		for _, hole := range lay.holes {
			m.Holes = append(m.Holes, ev.pointsInPicture(hole))
		}
	}
}

// tidy takes specks and holes out of the network's answer, in place: pieces
// too small to be tiles become gap, and gaps shut in by one tile (glare, a
// vein, a knot) become tile.
func (ev *evidence) tidy() {
	w, h, v := ev.tile.w, ev.tile.h, ev.tile.v
	in := ev.lay.panel
	runs, n := components(w, h, func(i int) bool { return in[i] && v[i] > .5 })
	size := areas(runs, n)
	speck := speckLimit(size[1:])
	ev.middle = middleSize(size[1:])
	label := make([]int32, w*h)
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			i := r.y*w + x
			if size[r.id] < speck {
				v[i] = 0
			} else {
				label[i] = r.id
			}
		}
	}
	holes, k := components(w, h, func(i int) bool { return in[i] && v[i] <= .5 })
	owner := shutIn(w, h, label, in, holes, k)
	hole := areas(holes, k)
	for _, r := range holes {
		o := owner[r.id]
		if o <= 0 || 3*hole[r.id] > size[o] {
			continue
		}
		for x := r.x0; x < r.x1; x++ {
			v[r.y*w+x] = 1
		}
	}
}

// shutIn gives, for each gap component, the one tile that surrounds it, or −1
// when it meets several tiles or the panel's edge.
func shutIn(w, h int, label []int32, in []bool, holes []run, k int) []int32 {
	owner := make([]int32, k+1)
	meet := func(id int32, x, y int) {
		if x < 0 || y < 0 || x >= w || y >= h || !in[y*w+x] {
			owner[id] = -1
			return
		}
		l := label[y*w+x]
		if l == 0 || owner[id] == l {
			return
		}
		if owner[id] == 0 {
			owner[id] = l
		} else {
			owner[id] = -1
		}
	}
	for _, r := range holes {
		if owner[r.id] < 0 {
			continue
		}
		meet(r.id, r.x0-1, r.y)
		meet(r.id, r.x1, r.y)
		for x := r.x0; x < r.x1; x++ {
			meet(r.id, x, r.y-1)
			meet(r.id, x, r.y+1)
		}
	}
	return owner
}

// cover writes the gap coverage of the panel's pixels inside a window, at full
// resolution: the network's answer, enlarged between its pixels and steepened to
// a photo's edge. A pixel comes out the same whatever the window.
//
// Decided against: the share that a pixel's own colour tells, on the line from
// local tile colour to local bed colour. Between a face and the bed lie a bevel, a
// side wall and a shadow of all colours, and the line takes each for a mixture:
// IoU fell from .918 to .889 on path-traced layouts, and from .917 to .882 on the
// same layouts enlarged to ten megapixels.
func (m *Map) cover(ev *evidence, win image.Rectangle, threads int) {
	steep := float32(crisp * max(1, .6/ev.scale))
	rows := m.rowsOf(win)
	step := float64(ev.w) / float64(ev.win.w)
	colormath.Rows(len(rows), threads, func(s0, s1 int) {
		plain := newPlainCells(ev, steep)
		for _, s := range rows[s0:s1] {
			vx, vy := ev.toView(float64(s.X0), float64(s.Y))
			row, settled := ev.tile.row(vy+ev.lean.Y), ev.settled.row(vy)
			cells := plain.at(vy + ev.lean.Y)
			out := m.Gap[s.Y*m.W : (s.Y+1)*m.W]
			for i := max(s.X0, win.Min.X); i < min(s.X1, win.Max.X); i++ {
				x := vx + float64(i-s.X0)*step
				if c := int(max(x+ev.lean.X, 0)); c < len(cells) && cells[c] != notPlain {
					out[i] = cells[c].coverage()
					continue
				}
				var gap float32
				if dx, dy := settled.at(x); dx != 0 || dy != 0 {
					gap = 1 - ev.tile.at(x+ev.lean.X-dx, vy+ev.lean.Y-dy)
				} else {
					gap = 1 - row.at(x+ev.lean.X)
				}
				gap = min(max((gap-.5)*steep+.5, 0), 1)
				out[i] = uint8(255*gap + .5)
			}
		}
	})
}

// rowsOf is the part of Inside that lies in the window's rows.
func (m *Map) rowsOf(win image.Rectangle) []Span {
	at := func(y int) int {
		i, _ := slices.BinarySearchFunc(m.Inside, y, func(s Span, y int) int { return cmp.Compare(s.Y, y) })
		return i
	}
	return m.Inside[at(win.Min.Y):at(win.Max.Y)]
}

// crisp is how much steeper the coverage runs through an edge than the network
// draws it: where it is unsure by a pixel it draws a ramp of two, and a photo's
// own edge is narrower, the more so the larger the photo.
const crisp = 1.6

// lampLean: the network draws tiles a little nearer to the lamp than they
// stand. A side wall in the light looks like tile and one in the dark looks like
// gap, and both will be under grout or above it by the same height. In gap widths
// per unit of Lamp.
const lampLean = 0.12
