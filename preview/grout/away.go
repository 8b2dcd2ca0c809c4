package grout

import "math"

// ray goes from cell to cell of a grid towards the lamp: a whole cell at a time
// along one axis, between two cells along the other.
type ray struct {
	alongX bool      // whether the first axis is x
	da     int       // one cell along it, +1 or −1
	shift  []float64 // cells along the second axis after so many along the first
	length float64   // of one step, px
}

// newRay goes as far as far px.
func (g *grid) newRay(dx, dy, far float64) *ray {
	r := &ray{alongX: math.Abs(dx) >= math.Abs(dy)}
	first, second := dx, dy
	if !r.alongX {
		first, second = dy, dx
	}
	r.da = 1
	if first < 0 {
		r.da = -1
	}
	slope := second / math.Abs(first)
	r.length = float64(g.step) * math.Hypot(1, slope)
	for d := r.length; d < far; d += r.length {
		r.shift = append(r.shift, slope*float64(len(r.shift)+1))
	}
	return r
}

// away is the distance from cell (x, y) to the next wall along a ray, px, at most
// far, where g is the openness: a wall begins where it falls to a half.
func (g *grid) away(r *ray, x, y int, far float64) float64 {
	a, b, na, nb, sa, sb := x, y, g.w, g.h, 1, g.w
	if !r.alongX {
		a, b, na, nb, sa, sb = y, x, g.h, g.w, g.w, 1
	}
	last := g.v[y*g.w+x]
	for n, shift := range r.shift {
		if a += r.da; a < 0 || a >= na {
			break
		}
		at := min(max(float64(b)+shift, 0), float64(nb-1))
		j := int(at)
		p := a*sa + j*sb
		v := g.v[p]
		if j+1 < nb {
			v += (g.v[p+sb] - v) * float32(at-float64(j))
		}
		if v <= .5 && last > .5 {
			return min(far, r.length*(float64(n)+float64((last-.5)/(last-v))))
		}
		last = v
	}
	return far
}
