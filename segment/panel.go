package segment

import (
	"math"
	"slices"
)

// bounds returns the corners of the box round the quad.
func (q *Quad) bounds() (lo, hi Point) { return bounds(q[:]) }

func bounds(pts []Point) (lo, hi Point) {
	lo, hi = pts[0], pts[0]
	for _, p := range pts[1:] {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	return lo, hi
}

// Area returns the quad's area in px², positive for corners in the order of
// the type (clockwise on screen).
func (q *Quad) Area() float64 { return polygonArea(q[:]) }

// polygonArea is the shoelace sum, positive when clockwise on screen.
func polygonArea(pts []Point) float64 {
	var s float64
	for i, p := range pts {
		n := pts[(i+1)%len(pts)]
		s += p.X*n.Y - n.X*p.Y
	}
	return s / 2
}

// spans rasterises a polygon inside a w × h picture: the pixels whose centres
// lie inside and in none of its holes, row by row (even-odd rule). A centre on the
// outline belongs to the polygon on its right or below, so panels side by side share none.
func spans(w, h int, pts []Point, holes ...[]Point) []Span {
	lo, hi := bounds(pts)
	var out []Span
	var xs []float64
	for y := max(0, int(math.Ceil(lo.Y))); y <= min(h-1, int(math.Floor(hi.Y))); y++ {
		xs = crossings(xs[:0], float64(y), pts)
		for _, hole := range holes {
			xs = crossings(xs, float64(y), hole)
		}
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			x0, x1 := max(0, int(math.Ceil(xs[i]))), min(w, int(math.Ceil(xs[i+1])))
			if x0 < x1 {
				out = append(out, Span{y, x0, x1})
			}
		}
	}
	return out
}

// crossings adds where a row crosses a closed outline.
func crossings(xs []float64, y float64, pts []Point) []float64 {
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		if (p.Y <= y) != (q.Y <= y) {
			xs = append(xs, p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
		}
	}
	return xs
}

// Spans are the pixels of a w × h picture whose centres lie in the quad.
func (q Quad) Spans(w, h int) []Span { return spans(w, h, q[:]) }

// Spans are the pixels of a w × h picture whose centres lie in a closed outline, but
// for its holes.
func Spans(w, h int, outline []Point, holes ...[]Point) []Span {
	return spans(w, h, outline, holes...)
}

// filled is spans as a mask.
func filled(w, h int, pts []Point, holes ...[]Point) []bool {
	in := make([]bool, w*h)
	for _, s := range spans(w, h, pts, holes...) {
		for x := s.X0; x < s.X1; x++ {
			in[s.Y*w+x] = true
		}
	}
	return in
}

// hull is the convex hull, clockwise on screen (Andrew's monotone chain, 1979).
func hull(pts []Point) []Point {
	p := slices.Clone(pts)
	slices.SortFunc(p, func(a, b Point) int {
		if a.X != b.X {
			return cmpFloat(a.X, b.X)
		}
		return cmpFloat(a.Y, b.Y)
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(p []Point) []Point {
		var h []Point
		for _, q := range p {
			for len(h) > 1 && cross(h[len(h)-2], h[len(h)-1], q) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	out := half(p)
	slices.Reverse(p)
	return append(out, half(p)...)
}

func cmpFloat(a, b float64) int {
	if a < b {
		return -1
	}
	if a > b {
		return 1
	}
	return 0
}

// cross is positive when a → b → c turns clockwise on screen.
func cross(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// around returns the four-sided outline that holds all of a convex polygon:
// edges are taken away one by one, each time the one whose neighbours, drawn
// out until they meet, add least area. Perspective is kept, which a rotated
// rectangle would not do.
func around(convex []Point) (Quad, bool) {
	p := slices.Clone(convex)
	for len(p) > 4 {
		best, at, meet := math.Inf(1), -1, Point{}
		for i := range p {
			a, b := p[(i+len(p)-1)%len(p)], p[i]
			c, d := p[(i+1)%len(p)], p[(i+2)%len(p)]
			m, ok := crossing(a, b, d, c)
			if !ok {
				continue
			}
			if add := math.Abs(polygonArea([]Point{b, m, c})); add < best {
				best, at, meet = add, i, m
			}
		}
		if at < 0 {
			return Quad{}, false
		}
		p[at] = meet
		p = slices.Delete(p, (at+1)%len(p), (at+1)%len(p)+1)
	}
	if len(p) < 4 {
		return Quad{}, false
	}
	return ordered(Quad(p)), true
}

// crossing draws the line a→b past b and the line d→c past c until they meet.
func crossing(a, b, d, c Point) (Point, bool) {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-d.X, c.Y-d.Y
	den := ux*vy - uy*vx
	if math.Abs(den) < 1e-9 {
		return Point{}, false
	}
	t := ((c.X-b.X)*vy - (c.Y-b.Y)*vx) / den
	s := ((c.X-b.X)*uy - (c.Y-b.Y)*ux) / den
	if t < 0 || s < 0 {
		return Point{}, false
	}
	return Point{b.X + t*ux, b.Y + t*uy}, true
}

// ordered turns the corners so that the first is the top-left one: the corner
// nearest to the box's top-left.
func ordered(q Quad) Quad {
	if q.Area() < 0 {
		q[1], q[3] = q[3], q[1]
	}
	first := 0
	for i := range q {
		if q[i].X+q[i].Y < q[first].X+q[first].Y {
			first = i
		}
	}
	return Quad{q[first], q[(first+1)%4], q[(first+2)%4], q[(first+3)%4]}
}

// Grown moves every side outwards by d px.
func (q Quad) Grown(d float64) Quad {
	var line [4][2]Point
	for i := range q {
		a, b := q[i], q[(i+1)%4]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		nx, ny := (b.Y-a.Y)/l*d, -(b.X-a.X)/l*d
		line[i] = [2]Point{{a.X + nx, a.Y + ny}, {b.X + nx, b.Y + ny}}
	}
	for i := range q {
		before := line[(i+3)%4]
		if p, ok := meet(before, line[i]); ok {
			q[i] = p
		}
	}
	return q
}

// meet is the crossing of two infinite lines.
func meet(l, m [2]Point) (Point, bool) {
	ux, uy, vx, vy := l[1].X-l[0].X, l[1].Y-l[0].Y, m[1].X-m[0].X, m[1].Y-m[0].Y
	den := ux*vy - uy*vx
	if math.Abs(den) < 1e-12 {
		return Point{}, false
	}
	t := ((m[0].X-l[0].X)*vy - (m[0].Y-l[0].Y)*vx) / den
	return Point{l[0].X + t*ux, l[0].Y + t*uy}, true
}
