package segment

import (
	"math"
	"slices"
)

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

// grown moves every side of a closed outline outwards by d px. Where sides meet so
// sharply that the new corner would shoot off, it stays within twice that.
func grown(pts []Point, d float64) []Point {
	out := make([]Point, len(pts))
	n := len(pts)
	for i, p := range pts {
		before, after := pts[(i+n-1)%n], pts[(i+1)%n]
		ax, ay := outward(before, p)
		bx, by := outward(p, after)
		// The bisector of both normals, as long as the corner needs: d over the cosine
		// of half the angle between them.
		x, y := ax+bx, ay+by
		l := x*x + y*y // 4·cos²
		k := 2 * d / max(l, 1)
		out[i] = Point{p.X + k*x, p.Y + k*y}
	}
	return out
}

// outward is the normal of a side of a clockwise outline, length 1.
func outward(a, b Point) (x, y float64) {
	l := max(math.Hypot(b.X-a.X, b.Y-a.Y), 1e-9)
	return (b.Y - a.Y) / l, -(b.X - a.X) / l
}
