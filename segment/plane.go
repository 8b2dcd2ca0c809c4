package segment

import (
	"math"

	"gapshade/colormath"
)

// plane is one number per view pixel.
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) *plane { return &plane{w, h, make([]float32, w*h)} }

// at reads between pixel centres, bilinear, the border repeated.
func (p *plane) at(x, y float64) float32 {
	r := p.row(y)
	return r.at(x)
}

// planeRow is a plane at one height, for reading many places along it.
type planeRow struct {
	top, low []float32
	f        float32 // share of low
}

func (p *plane) row(y float64) planeRow {
	y = min(max(y, 0), float64(p.h-1))
	j := int(y)
	j1 := min(j+1, p.h-1)
	return planeRow{p.v[j*p.w : (j+1)*p.w], p.v[j1*p.w : (j1+1)*p.w], float32(y - float64(j))}
}

func (r *planeRow) at(x float64) float32 {
	last := len(r.top) - 1
	x = min(max(x, 0), float64(last))
	i := int(x)
	i1, f := min(i+1, last), float32(x-float64(i))
	top := r.top[i] + (r.top[i1]-r.top[i])*f
	low := r.low[i] + (r.low[i1]-r.low[i])*f
	return top + (low-top)*r.f
}

// distances gives, for every pixel of a w × h map, the Euclidean distance to
// the nearest pixel where seed is true and that pixel's index (−1 when there is
// no seed). Exact: two passes of lower envelopes of parabolas.
//
// Felzenszwalb, Huttenlocher, "Distance transforms of sampled functions",
// Theory of Computing 8 (2012) 415–428.
func distances(w, h int, seed func(i int) bool) (dist []float32, nearest []int32) {
	nearest = nearestInColumn(w, h, seed) // rows at first, each row turned into indices on the way
	dist = make([]float32, w*h)
	colormath.Rows(h, 0, func(y0, y1 int) {
		hull, from, f, up := make([]int, w), make([]float64, w+1), make([]float64, w), make([]int32, w)
		for y := y0; y < y1; y++ {
			row := nearest[y*w : (y+1)*w]
			copy(up, row)
			distanceRow(y, up, hull, from, f, dist[y*w:(y+1)*w], row)
		}
	})
	return dist, nearest
}

// nearestInColumn gives the row of the nearest seed in the same column, −1 when
// there is none.
func nearestInColumn(w, h int, seed func(i int) bool) []int32 {
	up := make([]int32, w*h)
	colormath.Rows(w, 0, func(x0, x1 int) {
		last := make([]int32, w)
		for x := x0; x < x1; x++ {
			last[x] = -1
		}
		for y := range h {
			for x := x0; x < x1; x++ {
				if seed(y*w + x) {
					last[x] = int32(y)
				}
				up[y*w+x] = last[x]
			}
		}
		for x := x0; x < x1; x++ {
			last[x] = -1
		}
		for y := h - 1; y >= 0; y-- {
			for x := x0; x < x1; x++ {
				i := y*w + x
				if up[i] == int32(y) {
					last[x] = int32(y)
				}
				if last[x] >= 0 && (up[i] < 0 || int(last[x])-y < y-int(up[i])) {
					up[i] = last[x]
				}
			}
		}
	})
	return up
}

// distanceRow is the pass along row y: up holds the rows of the nearest seeds above
// or below; hull, from and f are scratch.
func distanceRow(y int, up []int32, hull []int, from, f []float64, dist []float32, nearest []int32) {
	const far = 1e12
	for x, r := range up {
		f[x] = far
		if r >= 0 {
			d := float64(int(r) - y)
			f[x] = d * d
		}
	}
	lowerEnvelope(f, hull, from)
	for x, k := 0, 0; x < len(up); x++ {
		for from[k+1] < float64(x) {
			k++
		}
		q := hull[k]
		d := float64(x - q)
		dist[x], nearest[x] = float32(math.Sqrt(d*d+f[q])), -1
		if r := up[q]; r >= 0 {
			nearest[x] = r*int32(len(up)) + int32(q)
		}
	}
}

// lowerEnvelope finds which parabola (x−q)² + f[q] is lowest where: parabola
// hull[k] from from[k] to from[k+1].
func lowerEnvelope(f []float64, hull []int, from []float64) {
	k := 0
	hull[0], from[0], from[1] = 0, math.Inf(-1), math.Inf(1)
	for q := 1; q < len(f); q++ {
		for {
			p := hull[k]
			s := (f[q] + float64(q*q) - f[p] - float64(p*p)) / float64(2*(q-p))
			if s > from[k] {
				k++
				hull[k], from[k], from[k+1] = q, s, math.Inf(1)
				break
			}
			k--
		}
	}
}
