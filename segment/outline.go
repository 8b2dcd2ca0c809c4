package segment

import (
	"math"
	"slices"
)

// find looks for the panel in a view whose corners nobody gave: tiles that
// stand within a gap or two of each other make one patch; the largest patch,
// with a shoulder round it, is the panel. It reports whether there is one.
func (lay *layout) find(ev *evidence, rim shoulder) bool {
	w, h := ev.tile.w, ev.tile.h
	on := func(i int) bool { return ev.tile.v[i] > .5 }
	runs, n := components(w, h, on)
	size := areas(runs, n)
	keep := lay.likely(runs, size, w, h)
	label := make([]int32, w*h)
	for _, r := range runs {
		if keep[r.id] {
			for x := r.x0; x < r.x1; x++ {
				label[r.y*w+x] = r.id
			}
		}
	}
	away, nearest := distances(w, h, func(i int) bool { return label[i] > 0 })
	gap := roughGap(w, h, label, away, nearest)
	if gap == 0 {
		return false
	}
	patch := largestPatch(w, h, away, 1.5*gap)
	deep, _ := distances(w, h, func(i int) bool { return !patch[i] })
	lay.settle(w, h, deep, 1.5*gap-gap/2)
	if rim.px > 0 || rim.panelMm2 > 0 && lay.panel != nil {
		out := rim.in(lay.quad, gap/2, ev.scale)
		if out > 1.45*gap { // beyond the patch: depths below 0 lie outside of it
			beyond, _ := distances(w, h, func(i int) bool { return patch[i] })
			for i := range deep {
				deep[i] -= beyond[i]
			}
		}
		lay.settle(w, h, deep, 1.5*gap-out)
	}
	return lay.panel != nil
}

// shoulder is how far the grout will reach beyond the outermost tiles.
type shoulder struct {
	px       float64 // picture px; 0 = not said
	mm       float64 // the same in mm; 0 = the usual one
	panelMm2 float64 // the panel's area, mm²; 0 = not known
}

// usualShoulder is a joint's edge struck off beside the tiles, mm (common
// practice, no source).
const usualShoulder = 1.5

// in gives the shoulder in view px. Where only the panel's area is known, the
// scale follows from the outline found with the shoulder drawn, taken off again
// and put on anew until the two agree.
func (s shoulder) in(q Quad, drawn, scale float64) float64 {
	if s.px > 0 {
		return s.px * scale
	}
	mm := s.mm
	if mm == 0 {
		mm = usualShoulder
	}
	out := drawn
	for range 4 {
		grown := q.Grown(out - drawn)
		out = mm / math.Sqrt(s.panelMm2/grown.Area())
	}
	return out
}

// takeAll makes the whole view the panel.
func (lay *layout) takeAll(w, h int) {
	lay.whole = true
	x, y := float64(w)-.5, float64(h)-.5
	lay.quad = Quad{{-.5, -.5}, {x, -.5}, {x, y}, {-.5, y}}
	lay.pts = lay.quad[:]
	lay.panel = filled(w, h, lay.pts)
}

// likely says which components can be tiles: no specks, and nothing that fills
// a large part of the picture and touches its border (that is the table).
func (lay *layout) likely(runs []run, size []int, w, h int) []bool {
	touches := make([]bool, len(size))
	for _, r := range runs {
		if r.y == 0 || r.y == h-1 || r.x0 == 0 || r.x1 == w {
			touches[r.id] = true
		}
	}
	inner := []int{}
	for id := 1; id < len(size); id++ {
		if !touches[id] {
			inner = append(inner, size[id])
		}
	}
	speck := speckLimit(inner)
	keep := make([]bool, len(size))
	for id := 1; id < len(size); id++ {
		keep[id] = size[id] >= speck && !(touches[id] && size[id] > w*h/20)
	}
	return keep
}

// roughGap is the middle distance between neighbouring pieces, 0 without any;
// away and nearest are the distances from them.
func roughGap(w, h int, label []int32, away []float32, nearest []int32) float64 {
	var widths []float64
	facing(w, h, label, nearest, func(i, j int, a, b int32) {
		if d := float64(away[i] + away[j]); d < .2*float64(min(w, h)) {
			widths = append(widths, d)
		}
	})
	if len(widths) < 8 {
		return 0
	}
	slices.Sort(widths)
	return widths[len(widths)/2]
}

// largestPatch joins tiles that stand within twice the reach of each other and
// returns the mask of the largest patch, grown by reach; away is the distance from
// any tile.
func largestPatch(w, h int, away []float32, reach float64) []bool {
	near := make([]bool, w*h)
	for i := range near {
		near[i] = float64(away[i]) <= reach
	}
	return largestPart(w, h, near)
}

// wholeQuad: from this share of tiles-with-shoulders in the four-sided outline
// on, the layout is meant as that four-sided panel and its ragged rim is gap.
const wholeQuad = 0.85

// settle takes what lies more than shrink inside a grown patch, which leaves a
// shoulder round the tiles, and decides between its own outline and the
// four-sided one; deep is the distance from what is outside the patch.
func (lay *layout) settle(w, h int, deep []float32, shrink float64) {
	foot := make([]bool, w*h)
	area := 0
	for i := range foot {
		if float64(deep[i]) > shrink {
			foot[i] = true
			area++
		}
	}
	pts := contour(w, h, foot)
	if len(pts) < 8 {
		return
	}
	lay.pts = simplified(pts, 1)
	q, ok := around(hull(pts))
	if !ok {
		return
	}
	lay.quad = q.Grown(.5) // the outline runs through pixel centres, the panel to their edges
	if float64(area) >= wholeQuad*q.Area() {
		lay.pts = lay.quad[:]
	}
	lay.panel = filled(w, h, lay.pts)
}

// contour walks round the largest part of a mask, its outer border, and
// returns the pixels on the way, clockwise.
func contour(w, h int, on []bool) []Point {
	runs, n := components(w, h, func(i int) bool { return on[i] })
	size := areas(runs, n)
	var best []Point
	most, tries, tried := slices.Max(size), 0, make([]bool, n+1)
	for _, r := range runs { // top to bottom, so the first run of a part lies on its border
		if tried[r.id] || 2*size[r.id] < most || tries == 8 {
			continue
		}
		tried[r.id] = true
		tries++
		if pts := walkRound(w, h, on, r.x0, r.y); best == nil || polygonArea(pts) > polygonArea(best) {
			best = pts
		}
	}
	return best
}

// walkRound goes round the border from its topmost-leftmost pixel (Moore
// neighbourhood). It ends when it is about to take its first step again, not at
// the first return to the start: a narrow part may lead through there twice.
func walkRound(w, h int, on []bool, x, y int) []Point {
	at := func(x, y int) bool { return x >= 0 && y >= 0 && x < w && y < h && on[y*w+x] }
	start := y*w + x
	// eight neighbours, clockwise on screen from west
	dx := [8]int{-1, -1, 0, 1, 1, 1, 0, -1}
	dy := [8]int{0, -1, -1, -1, 0, 1, 1, 1}
	back, first := 0, -1
	var pts []Point
	for range 4*w*h + 8 {
		d := -1
		for k := 1; k <= 8 && d < 0; k++ {
			if e := (back + k) % 8; at(x+dx[e], y+dy[e]) {
				d = e
			}
		}
		if len(pts) > 0 && y*w+x == start && d == first {
			return pts
		}
		if first < 0 {
			first = d
		}
		pts = append(pts, Point{float64(x), float64(y)})
		if d < 0 {
			return pts // a single pixel
		}
		x, y = x+dx[d], y+dy[d]
		back = (d + 6 - d%2) % 8 // the empty neighbour seen last, as the new pixel sees it
	}
	return pts
}

// largestPart keeps the largest 4-connected part of a mask.
func largestPart(w, h int, mask []bool) []bool {
	runs, n := components(w, h, func(i int) bool { return mask[i] })
	size := areas(runs, n)
	best := 0
	for id := range size {
		if size[id] > size[best] {
			best = id
		}
	}
	out := make([]bool, w*h)
	for _, r := range runs {
		if int(r.id) == best {
			for x := r.x0; x < r.x1; x++ {
				out[r.y*w+x] = true
			}
		}
	}
	return out
}

// simplified drops points that lie within tol of the line through the kept
// ones (Douglas, Peucker, 1973).
func simplified(pts []Point, tol float64) []Point {
	if len(pts) < 3 {
		return pts
	}
	far, at := 0.0, 0
	a, b := pts[0], pts[len(pts)-1]
	l := max(math.Hypot(b.X-a.X, b.Y-a.Y), 1e-9)
	for i, p := range pts[1 : len(pts)-1] {
		d := math.Abs(cross(a, b, p)) / l
		if l < 1e-6 {
			d = math.Hypot(p.X-a.X, p.Y-a.Y)
		}
		if d > far {
			far, at = d, i+1
		}
	}
	if far <= tol {
		return []Point{a, b}
	}
	left := simplified(pts[:at+1], tol)
	return append(left[:len(left)-1:len(left)-1], simplified(pts[at:], tol)...)
}
