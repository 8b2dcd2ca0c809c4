package segment

import (
	"math"

	"gapshade/colormath"
)

// A large photo shows an edge finer than the network, which looks at a reduced
// view. Where the photo's own profile across the edge is one clean step, the edge
// goes to the middle of that step; where it is anything else (bevel, side wall,
// shadow, a joint of the tile's colour) the network's edge stays.
//
// Decided against: doing so at the network's own scale, where its errors come from
// bevels and not from too few pixels (path-traced layouts: no correlation between
// the nearest step and the true edge), and the share of bed in each pixel's colour
// without asking for a clean step (IoU .918 to .889, and .917 to .882 on the same
// layouts enlarged to ten megapixels). With it, drawn flat edges at twelve
// megapixels come from 0.9 … 1.6 px to 0.2 … 0.35 px (nine in ten); path-traced
// layouts enlarged twice, which hold no finer edge, lose .004 of IoU.
const (
	fineScale   = 0.6 // view px per picture px above which there is nothing to gain
	profileHalf = 2.0 // half the length of a profile, view px; a gap is about eight
	mostShift   = 0.5 // view px; further off, it is another edge
)

// Clean steps, as shares of the step's height: how far the two ends may scatter,
// how far a colour may lie off the way from end to end, and how far the profile
// may overshoot (phones sharpen). stepWidthPx is as wide as a lens and a
// demosaicer smear a step between a tenth and nine tenths, picture px. Ours.
const (
	endScatter  = 0.06
	offTheWay   = 0.08
	overshoot   = 0.08
	stepWidthPx = 4.0
	leastStep   = 0.15 // of the two ends' mean brightness
)

// shift is a displacement of the edges, view px, read where the coverage is.
type shift struct{ x, y *plane }

// settleEdges measures how far the network's edges lie from the photo's; nil when
// the view is as fine as the photo. lean is added to every place first.
func (ev *evidence) settleEdges(pic *colormath.Picture, lean Point, threads int) *shift {
	if ev.scale > fineScale {
		return nil
	}
	w, h := ev.w, ev.h
	s := &shift{newPlane(w, h), newPlane(w, h)}
	weight := newPlane(w, h)
	colormath.Rows(h, threads, func(y0, y1 int) {
		p := newProfile(ev, pic)
		for y := max(y0, 2); y < min(y1, h-2); y++ {
			for x := 2 + y%2; x < w-2; x += 2 { // as on a chequer: neighbours tell the same
				i := y*w + x
				if !ev.lay.panel[i] || !ev.atEdge(i) {
					continue
				}
				nx, ny := ev.tile.outwards(i)
				l := math.Hypot(nx, ny)
				if l < .25 {
					continue
				}
				nx, ny = nx/l, ny/l
				// from the pixel to the edge: coverage falls by about l/4 a px
				d := (float64(ev.tile.v[i]) - .5) * 4 / l
				if math.Abs(d) > 1 {
					continue
				}
				cx, cy := float64(x)+d*nx-lean.X, float64(y)+d*ny-lean.Y
				if by, ok := p.step(cx, cy, nx, ny); ok {
					s.x.v[i], s.y.v[i], weight.v[i] = float32(by*nx), float32(by*ny), 1
				}
			}
		}
	})
	return s.spread(weight, threads)
}

// atEdge says whether the coverage passes a half between this pixel and one of
// its four neighbours.
func (ev *evidence) atEdge(i int) bool {
	v, w := ev.tile.v, ev.w
	t := v[i] > .5
	return (v[i-1] > .5) != t || (v[i+1] > .5) != t || (v[i-w] > .5) != t || (v[i+w] > .5) != t
}

// profile reads the photo across an edge.
type profile struct {
	ev  *evidence
	pic *colormath.Picture
	c   [][3]float64
	n   int
}

func newProfile(ev *evidence, pic *colormath.Picture) *profile {
	n := max(9, int(math.Ceil(2*profileHalf/ev.scale))|1)
	return &profile{ev: ev, pic: pic, c: make([][3]float64, n), n: n}
}

// step finds the one clean step across the edge at (cx, cy), view px, n pointing
// from tile to gap: how far it lies outwards, view px.
func (p *profile) step(cx, cy, nx, ny float64) (by float64, ok bool) {
	p.read(cx, cy, nx, ny)
	ends := max(2, int(float64(p.n)*(profileHalf-1.25)/(2*profileHalf)+.5))
	tile, bed := mean(p.c[:ends]), mean(p.c[p.n-ends:])
	var d [3]float64
	height2, bright := 0., 0.
	for k := range d {
		d[k] = tile[k] - bed[k]
		height2 += d[k] * d[k]
		bright += math.Abs(tile[k]+bed[k]) / 2
	}
	if height := math.Sqrt(height2); height*math.Sqrt(3) < leastStep*bright || height < 1e-4 {
		return 0, false
	}
	sum, between, off := 0., 0, 0.
	for i, c := range p.c {
		a, r2 := 0., 0.
		for k := range c {
			a += (c[k] - bed[k]) * d[k] / height2
		}
		for k := range c {
			r := c[k] - bed[k] - a*d[k]
			r2 += r * r
		}
		off += r2 / height2
		if a < -overshoot || a > 1+overshoot ||
			i < ends && math.Abs(a-1) > endScatter || i >= p.n-ends && math.Abs(a) > endScatter {
			return 0, false
		}
		if a > .1 && a < .9 {
			between++
		}
		sum += a
	}
	length := 2 * profileHalf / float64(p.n) // of one sample, view px
	if math.Sqrt(off/float64(p.n)) > offTheWay || float64(between)*length > stepWidthPx*p.ev.scale {
		return 0, false
	}
	by = sum*length - profileHalf
	return by, math.Abs(by) <= mostShift
}

// read fills the profile: n samples, averaged over three lines side by side.
func (p *profile) read(cx, cy, nx, ny float64) {
	for i := range p.c {
		t := ((float64(i)+.5)/float64(p.n)*2 - 1) * profileHalf
		var sum [3]float64
		for _, side := range [...]float64{-.6, 0, .6} {
			x, y := p.ev.toFull(cx+t*nx-side*ny, cy+t*ny+side*nx)
			p.addAt(&sum, x, y)
		}
		for k := range sum {
			p.c[i][k] = sum[k] / 3
		}
	}
}

// addAt adds the picture's colour between pixel centres.
func (p *profile) addAt(sum *[3]float64, x, y float64) {
	pic := p.pic
	x, y = min(max(x, 0), float64(pic.W-1)), min(max(y, 0), float64(pic.H-1))
	i, j := min(int(x), max(pic.W-2, 0)), min(int(y), max(pic.H-2, 0))
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	dx, dy := 3*min(1, pic.W-1), 3*pic.W*min(1, pic.H-1)
	at := 3 * (j*pic.W + i)
	for k := range sum {
		a, b := pic.Pix[at+k], pic.Pix[at+dy+k]
		a += (pic.Pix[at+dx+k] - a) * fx
		b += (pic.Pix[at+dx+dy+k] - b) * fx
		sum[k] += float64(a + (b-a)*fy)
	}
}

func mean(c [][3]float64) (m [3]float64) {
	for _, v := range c {
		for k := range m {
			m[k] += v[k] / float64(len(c))
		}
	}
	return m
}

// spread carries the measured shifts to the pixels round the edge and evens them
// out along it: a box of five by five view px, each sample counting alike.
func (s *shift) spread(weight *plane, threads int) *shift {
	w, h := weight.w, weight.h
	out := &shift{newPlane(w, h), newPlane(w, h)}
	colormath.Rows(h, threads, func(y0, y1 int) {
		column, row := make([]float32, w), make([][]float32, 3)
		for k := range row {
			row[k] = make([]float32, w)
		}
		for y := y0; y < y1; y++ {
			weight.box(y, column, row[2])
			s.x.box(y, column, row[0])
			s.y.box(y, column, row[1])
			for x, n := range row[2] {
				if n > 1.25 { // of two or three on a straight edge
					out.x.v[y*w+x], out.y.v[y*w+x] = row[0][x]/n, row[1][x]/n
				}
			}
		}
	})
	return out
}

// box sums five by five px round each pixel of row y into out; column is scratch.
func (p *plane) box(y int, column, out []float32) {
	const r = 2
	clear(column)
	for k := max(0, y-r); k <= min(p.h-1, y+r); k++ {
		for x, v := range p.v[k*p.w : (k+1)*p.w] {
			column[x] += v
		}
	}
	for x := range out {
		sum := float32(0)
		for _, v := range column[max(0, x-r):min(p.w, x+r+1)] {
			sum += v
		}
		out[x] = sum
	}
}

// shiftRow is a shift at one height.
type shiftRow struct{ x, y planeRow }

// row reads the shift along a row of the view; no shift at all on nil.
func (s *shift) row(y float64) shiftRow {
	if s == nil {
		return shiftRow{}
	}
	return shiftRow{s.x.row(y), s.y.row(y)}
}

func (r *shiftRow) at(x float64) (dx, dy float64) {
	if r.x.top == nil {
		return 0, 0
	}
	return float64(r.x.at(x)), float64(r.y.at(x))
}
