package pair

import (
	"math"

	"gapshade/colormath"
)

// A small map between two pictures of one plane has eight numbers: shift, turn and
// scale, shear, and two of perspective. In places u, v counted from the middle in
// half the longer side, with terms p in px,
//
//	dx = p0 + p1·u + p2·v + p6·u² + p7·u·v
//	dy = p3 + p4·u + p5·v + p6·u·v + p7·v²
//
// to first order. Three more take up what differs in brightness: a constant and a
// slope. Baker, Matthews, "Lucas-Kanade 20 years on", International Journal of
// Computer Vision 56 (2004) 221–255, the compositional form.
const (
	mapTerms = 8
	allTerms = mapTerms + 3
)

// terms are how dx and dy depend on the eight numbers at a place.
func terms(u, v float64) (dx, dy [mapTerms]float64) {
	return [mapTerms]float64{1, u, v, 0, 0, 0, u * u, u * v}, [mapTerms]float64{0, 0, 0, 1, u, v, u * v, v * v}
}

// grid turns places of a w × h picture into u and v.
type grid struct{ x0, y0, half float64 }

func gridOf(w, h int) grid {
	return grid{float64(w-1) / 2, float64(h-1) / 2, float64(max(w, h)) / 2}
}

func (g grid) at(x, y float64) (u, v float64) { return (x - g.x0) / g.half, (y - g.y0) / g.half }

// moved is the homography that does to four places far out what the eight numbers
// say.
func (g grid) moved(p []float64) colormath.Homography {
	var from, to [4][2]float64
	for i, c := range [4][2]float64{{-.8, -.6}, {.8, -.6}, {.8, .6}, {-.8, .6}} {
		dx, dy := terms(c[0], c[1])
		from[i] = [2]float64{g.x0 + c[0]*g.half, g.y0 + c[1]*g.half}
		to[i] = from[i]
		for k := range mapTerms {
			to[i][0] += p[k] * dx[k]
			to[i][1] += p[k] * dy[k]
		}
	}
	h, err := colormath.HomographyOf(from, to)
	if err != nil {
		return still
	}
	return h
}

// still leaves every place where it is.
var still = colormath.Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}

// climb finds the map that moves b onto a, from still on: least squares of the
// differences where weight says so (nil: everywhere), outliers counting less. keep
// is how far, in px, the answer may lie from still as a matter of course (a normal
// prior): what the planes don't tell stays.
func climb(a, b, weight *Plane, keep float64, threads int) colormath.Homography {
	h, g := still, gridOf(a.W, a.H)
	var light [allTerms - mapTerms]float64
	var scale float64
	for range 12 {
		n := gather(a, b.Moved(h, threads), weight, light, scale, threads)
		if n.weight == 0 {
			return h
		}
		scale = math.Sqrt(n.square / n.weight)
		p := n.solve(h, g, keep, scale)
		h = g.moved(p).After(h)
		copy(light[:], p[mapTerms:])
		if step := length(p[:mapTerms]); step < 2e-3 || math.IsNaN(step) {
			break
		}
	}
	return h
}

func length(p []float64) float64 {
	var s float64
	for _, v := range p {
		s += v * v
	}
	return math.Sqrt(s)
}

// normal holds the normal equations and what goes with them.
type normal struct {
	m              [allTerms][allTerms + 1]float64
	weight, square float64
}

func (n *normal) add(o *normal) {
	for i := range n.m {
		for j := range n.m[i] {
			n.m[i][j] += o.m[i][j]
		}
	}
	n.weight, n.square = n.weight+o.weight, n.square+o.square
}

// biweight is how much a difference counts, given in standard deviations of them all:
// nothing from 4.685 on (Tukey's; Beaton, Tukey, Technometrics 16, 1974).
func biweight(r float64) float64 {
	k := r / 4.685
	k = max(0, 1-k*k)
	return k * k
}

// gather sums the normal equations row by row, and the rows in their order, so that
// threads don't show. b is already moved, light is what of the difference was
// brightness so far; scale 0 trusts all differences.
func gather(a, b, weight *Plane, light [3]float64, scale float64, threads int) *normal {
	rows := make([]normal, a.H)
	g := gridOf(a.W, a.H)
	colormath.Rows(a.H, threads, func(y0, y1 int) {
		for y := max(y0, 1); y < min(y1, a.H-1); y++ {
			for x := 1; x < a.W-1; x++ {
				i := y*a.W + x
				w := 1.0
				if weight != nil {
					if w = float64(weight.V[i]); w == 0 {
						continue
					}
				}
				u, v := g.at(float64(x), float64(y))
				d := float64(a.V[i] - b.V[i])
				rest := d - light[0] - light[1]*u - light[2]*v
				if scale > 0 {
					if w *= biweight(rest / scale); w == 0 {
						continue
					}
				}
				ax, ay := a.slope(x, y)
				bx, by := b.slope(x, y)
				n := &rows[y]
				n.take(u, v, float64(ax+bx)/2, float64(ay+by)/2, d, w)
				n.weight, n.square = n.weight+w, n.square+w*rest*rest
			}
		}
	})
	var sum normal
	for y := range rows {
		sum.add(&rows[y])
	}
	return &sum
}

// take adds one pixel: b moved by (dx, dy) loses slope·(dx, dy), which is to make up
// for the difference d = a − b.
func (n *normal) take(u, v, sx, sy, d, w float64) {
	dx, dy := terms(u, v)
	var t [allTerms]float64
	for k := range mapTerms {
		t[k] = -sx*dx[k] - sy*dy[k]
	}
	t[mapTerms], t[mapTerms+1], t[mapTerms+2] = 1, u, v
	for i := range t {
		for j := i; j < allTerms; j++ {
			n.m[i][j] += w * t[i] * t[j]
		}
		n.m[i][allTerms] += w * t[i] * d
	}
}

// solve gives the step. The prior pulls the whole way so far back to still; it is
// laid down at the same four places for every number alike.
func (n *normal) solve(h colormath.Homography, g grid, keep, scale float64) []float64 {
	m := n.m
	done := g.numbers(h)
	prior := scale * scale / (keep * keep)
	for i := range m {
		for j := range i {
			m[i][j] = m[j][i]
		}
		if i < mapTerms {
			m[i][i] += prior
			m[i][allTerms] -= prior * done[i]
		} else {
			m[i][i] += 1e-9 * n.weight
		}
	}
	rows := make([][]float64, allTerms)
	for i := range rows {
		rows[i] = m[i][:]
	}
	return solve(rows)
}

// numbers are the eight numbers of a map near still, as least squares over a few
// places give them.
func (g grid) numbers(h colormath.Homography) []float64 {
	rows := make([][]float64, mapTerms)
	for i := range rows {
		rows[i] = make([]float64, mapTerms+1)
	}
	for _, v := range [...]float64{-.6, 0, .6} {
		for _, u := range [...]float64{-.8, 0, .8} {
			x, y := g.x0+u*g.half, g.y0+v*g.half
			X, Y := h.Apply(x, y)
			dx, dy := terms(u, v)
			for i := range rows {
				for j := range mapTerms {
					rows[i][j] += dx[i]*dx[j] + dy[i]*dy[j]
				}
				rows[i][mapTerms] += dx[i]*(X-x) + dy[i]*(Y-y)
			}
		}
	}
	return solve(rows)
}

// solve is Gauss–Jordan elimination with row pivots on n rows of n + 1; what a
// singular system can't tell is 0.
func solve(m [][]float64) []float64 {
	n := len(m)
	for c := range n {
		p := c
		for r := c + 1; r < n; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[p][c]) {
				p = r
			}
		}
		m[c], m[p] = m[p], m[c]
		if math.Abs(m[c][c]) < 1e-12 {
			continue
		}
		for r := range n {
			if f := m[r][c] / m[c][c]; r != c && f != 0 {
				for k := c; k <= n; k++ {
					m[r][k] -= f * m[c][k]
				}
			}
		}
	}
	x := make([]float64, n)
	for c := range n {
		if math.Abs(m[c][c]) >= 1e-12 {
			x[c] = m[c][n] / m[c][c]
		}
	}
	return x
}
