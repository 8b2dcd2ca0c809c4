package segment

import "math"

// A panel has four corners or any outline: round, oval, free. Corners mean something
// only where four straight sides meet: from them follow perspective and proportions.
// What tells is the hull of the outline, since pieces that are missing at a side, every
// second one even, leave its hull straight. The share of the smallest four-sided outline
// that the hull fills is 1 for a rectangle from any angle, .97 with a corner piece gone
// from a dozen, .83 for an octagon, .79 for a circle or an oval, .75 for a hexagon,
// 1 − n/2 where a corner of share n is left out on purpose. (All by geometry; the limits
// between them are ours.)
const (
	// wholeQuad: with less of it filled by tiles and their shoulders, the layout isn't
	// meant as that four-sided panel; a ragged rim leaves out a twentieth.
	wholeQuad = 0.85
	// wholeHull: with less of it filled by the hull, sides are bowed or corners cut.
	wholeHull = 0.93
	// mostLeaning: the far side of a rectangle looks shorter than the near one, by 1.7
	// for a camera 40° off straight above at a panel's length and a quarter; beyond, the
	// piece itself is narrower there, and nothing is to be straightened.
	mostLeaning = 1.7
)

// An empty place is an opening, outside the panel, when a disc fits into it that is
// openTiles middle tiles and openShare of the panel (the root of its area) across;
// smaller ones are tiles that are missing: bare bed that grout will cover. Single
// pieces left out here and there come to one or two tiles (1.8 at most on a layout of 224
// with one in ten left out), an opening round a tap or in a mirror's frame to five and more. The limit is high because a hole that is
// grouted in the picture shows at once and is painted out with one stroke, while bed
// that silently counts as outside is missing in the powder. (Ours.)
const (
	openTiles = 4.0
	openShare = 0.125
)

// settle takes of a patch, grown round the tiles by reach, what lies within out of
// them, and decides between its own outline and the four-sided one; deep is the
// distance from what is outside the patch, side that of the middle tile. Whole pixels
// are taken, and what is left of out is put on the outline.
func (lay *layout) settle(w, h int, deep []float32, reach, out, side float64) {
	whole := math.Floor(out + 1e-9)
	foot := make([]bool, w*h)
	for i := range foot {
		foot[i] = float64(deep[i]) > reach-whole
	}
	pts := contour(w, h, foot)
	if len(pts) < 8 {
		return
	}
	rest := out - whole + .5 // the outline runs through pixel centres, the panel to their edges
	open := opening(side, math.Sqrt(polygonArea(pts)))
	if q, ok := fourCorners(pts); ok {
		q = q.Grown(rest)
		if holes, atRim := openings(w, h, q[:], foot, open); !atRim {
			lay.quad, lay.pts, lay.free = q, q[:], false
			lay.take(w, h, holes, rest)
			return
		}
	}
	foot = closed(w, h, foot, open/2)
	own := grown(simplified(contour(w, h, foot), staircase), rest)
	holes, _ := openings(w, h, own, foot, open)
	lay.quad, lay.pts, lay.free = boxQuad(own), own, true
	lay.take(w, h, holes, rest)
}

// take makes the panel of the outline, but for holes, given by the pixels round them;
// the tiles' shoulder reaches rest beyond the middle of those.
func (lay *layout) take(w, h int, holes [][]Point, rest float64) {
	lay.holes = nil
	for _, pts := range holes {
		lay.holes = append(lay.holes, grown(simplified(pts, staircase), 1-rest))
	}
	lay.panel = filled(w, h, lay.pts, lay.holes...)
}

// staircase is how far the pixels on the way lie off a slanting line, at most, and a
// little more.
const staircase = 0.75

// fourCorners is the four-sided outline round a contour, if the layout has one.
func fourCorners(pts []Point) (Quad, bool) {
	convex := hull(pts)
	q, ok := around(convex)
	if !ok || polygonArea(convex) < wholeHull*q.Area() || leaning(q) > mostLeaning {
		return q, false
	}
	enclosed := polygonArea(pts) + float64(len(pts))/2 + 1 // pixels, by Pick's theorem
	return q, enclosed >= wholeQuad*q.Area()
}

// leaning is the larger ratio of two opposite sides.
func leaning(q Quad) float64 {
	side := func(i int) float64 { a, b := q[i], q[(i+1)%4]; return max(math.Hypot(b.X-a.X, b.Y-a.Y), 1) }
	ratio := func(a, b float64) float64 { return max(a/b, b/a) }
	return max(ratio(side(0), side(2)), ratio(side(1), side(3)))
}

// closed fills the bays of a mask into which no disc of the radius fits: pieces that are
// missing at the rim of a free outline, as they may be anywhere else. Discs may lie across
// the picture's edge, so a margin goes round it.
func closed(w, h int, on []bool, radius float64) []bool {
	m := int(radius) + 2
	mw, mh := w+2*m, h+2*m
	wide := make([]bool, mw*mh)
	for y := range h {
		copy(wide[(y+m)*mw+m:], on[y*w:(y+1)*w])
	}
	far, _ := distances(mw, mh, func(i int) bool { return wide[i] })
	deep, _ := distances(mw, mh, func(i int) bool { return float64(far[i]) > radius })
	out := make([]bool, w*h)
	for i := range out {
		out[i] = on[i] || float64(deep[(i/w+m)*mw+i%w+m]) > radius
	}
	return out
}

// opening is the least radius of an opening, px.
func opening(tile, panel float64) float64 { return max(openTiles*tile, openShare*panel) / 2 }

// openings are the ways round the empty places within an outline that are as wide as
// an opening, through their own pixels, top to bottom; atRim says that one of them, a bay, lies open to the outside.
func openings(w, h int, outline []Point, foot []bool, least float64) (holes [][]Point, atRim bool) {
	inside := filled(w, h, outline)
	empty := func(i int) bool { return inside[i] && !foot[i] }
	area := 0
	for i := range inside {
		if empty(i) {
			area++
		}
	}
	if float64(area) < 3*least*least { // no disc fits into so little; most panels end here
		return nil, false
	}
	depth, _ := distances(w, h, func(i int) bool { return !empty(i) })
	runs, n := components(w, h, empty)
	wide, rim := make([]bool, n+1), make([]bool, n+1)
	outside := func(x, y int) bool { return x < 0 || y < 0 || x >= w || y >= h || !inside[y*w+x] }
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			wide[r.id] = wide[r.id] || float64(depth[r.y*w+x]) >= least
			rim[r.id] = rim[r.id] || outside(x-1, r.y) || outside(x+1, r.y) || outside(x, r.y-1) || outside(x, r.y+1)
		}
	}
	for id := 1; id <= n; id++ {
		if !wide[id] {
			continue
		}
		if rim[id] {
			atRim = true
			continue
		}
		on := make([]bool, w*h)
		for _, r := range runs {
			for x := r.x0; int(r.id) == id && x < r.x1; x++ {
				on[r.y*w+x] = true
			}
		}
		holes = append(holes, contour(w, h, on))
	}
	return holes, atRim
}

// boxQuad is the box round an outline, its sides along the picture's.
func boxQuad(pts []Point) Quad {
	lo, hi := bounds(pts)
	return Quad{lo, {hi.X, lo.Y}, hi, {lo.X, hi.Y}}
}
