package light

import (
	"math"

	"gapshade/colormath"
)

// sample is one bed pixel: place on the panel (about −1…1) and the logarithm
// of its light, per channel.
type sample struct {
	x, y    float64
	log     [3]float64
	clipped bool // a channel at the photo's white: the light is at least this
}

func (s *sample) mean() float64 { return (s.log[0] + s.log[1] + s.log[2]) / 3 }

// node is what one cell of the panel says about the light; clipped when what it
// says is only a lower bound.
type node struct {
	x, y, z, weight float64
	clipped         bool
}

// cells is how finely the panel and its margin are divided: fine enough for a
// surface of second degree, coarse enough that every cell holds some bed that
// is not in shadow.
const cells = 10

// nodes gives, per cell, the q-quantile of the mean log light of its samples, at
// the middle of where they lie. The slope of the light over the panel is taken
// off first and put back after: within a cell it would pass for brightness.
func nodes(samples []sample, q, weight float64) []node {
	const half = 1.15 // the grid reaches a little over the panel's edge
	type cell struct {
		z       []float64
		x, y    float64
		clipped int
	}
	gx, gy := slope(samples)
	var in [cells * cells]cell
	for i := range samples {
		s := &samples[i]
		cx, cy := int((s.x+half)/(2*half)*cells), int((s.y+half)/(2*half)*cells)
		c := &in[min(max(cy, 0), cells-1)*cells+min(max(cx, 0), cells-1)]
		c.z = append(c.z, s.mean()-gx*s.x-gy*s.y)
		c.x, c.y = c.x+s.x, c.y+s.y
		if s.clipped {
			c.clipped++
		}
	}
	var out []node
	for _, c := range in {
		n := float64(len(c.z))
		if n < 8 {
			continue
		}
		x, y := c.x/n, c.y/n
		out = append(out, node{x: x, y: y,
			z:       colormath.QuantileIn(c.z, q) + gx*x + gy*y,
			clipped: float64(c.clipped) > (1-q)*n,
			weight:  weight * min(1, math.Sqrt(n/60)),
		})
	}
	return out
}

// slope is the plane through the samples: its gradient in x and y, zero when they
// lie on a line.
func slope(samples []sample) (gx, gy float64) {
	var n, sx, sy, sz, sxx, sxy, syy, sxz, syz float64
	for i := range samples {
		s := &samples[i]
		z := s.mean()
		n, sx, sy, sz = n+1, sx+s.x, sy+s.y, sz+z
		sxx, sxy, syy, sxz, syz = sxx+s.x*s.x, sxy+s.x*s.y, syy+s.y*s.y, sxz+s.x*z, syz+s.y*z
	}
	if n == 0 {
		return 0, 0
	}
	sxx, sxy, syy = sxx-sx*sx/n, sxy-sx*sy/n, syy-sy*sy/n
	sxz, syz = sxz-sx*sz/n, syz-sy*sz/n
	det := sxx*syy - sxy*sxy
	if det < 1e-9*n*n {
		return 0, 0
	}
	return (sxz*syy - syz*sxy) / det, (syz*sxx - sxz*sxy) / det
}

// Under thick tiles whole cells lie in shadow, so the surface leans on the
// best-lit ones: a node below it counts for shadowed, a node above for one
// (asymmetric least squares; Newey, Powell, Econometrica 55, 1987), and a node
// more than glint (log) above it is taken for a glint or a tile and hardly
// counts.
const (
	shadowed = 0.08
	glint    = 0.25
)

// fit lays a surface of second degree along the upper side of the nodes.
func fit(ns []node) [6]float64 {
	var coef [6]float64
	w := make([]float64, len(ns))
	for i, n := range ns {
		w[i] = n.weight
	}
	for range 25 {
		coef = leastSquares(ns, w)
		for i, n := range ns {
			switch r := n.z - value(coef, n.x, n.y); {
			case r < 0 && n.clipped:
				w[i] = 0
			case r < 0:
				w[i] = n.weight / (1 + r*r/(shadowed*shadowed))
			case r > glint:
				w[i] = n.weight * glint / r * glint / r
			default:
				w[i] = n.weight
			}
		}
	}
	return coef
}

func value(coef [6]float64, x, y float64) float64 {
	s := 0.0
	for k, b := range basis(x, y) {
		s += coef[k] * b
	}
	return s
}

// leastSquares solves the weighted normal equations of the six terms. A touch
// of ridge on all but the constant keeps a panel with few nodes from bending.
func leastSquares(ns []node, weight []float64) [6]float64 {
	var a [6][7]float64
	total := 0.0
	for i, n := range ns {
		w := weight[i]
		total += w
		b := basis(n.x, n.y)
		for r := range 6 {
			for c := r; c < 6; c++ {
				a[r][c] += w * b[r] * b[c]
			}
			a[r][6] += w * b[r] * n.z
		}
	}
	for r := range 6 {
		for c := range r {
			a[r][c] = a[c][r]
		}
		switch {
		case r > 2:
			a[r][r] += 3e-2 * total
		case r > 0:
			a[r][r] += 1e-3 * total
		}
	}
	return solve(a)
}

// solve is Gauss–Jordan elimination with row pivots on a 6 × 7 system; a
// singular system gives zeros in the terms that it cannot tell.
func solve(a [6][7]float64) (x [6]float64) {
	for c := range 6 {
		p := c
		for r := c + 1; r < 6; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		if math.Abs(a[c][c]) < 1e-12 {
			continue
		}
		for r := range 6 {
			if r == c {
				continue
			}
			f := a[r][c] / a[c][c]
			for k := c; k < 7; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	for c := range 6 {
		if math.Abs(a[c][c]) >= 1e-12 {
			x[c] = a[c][6] / a[c][c]
		}
	}
	return x
}
