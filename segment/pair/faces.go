package pair

import (
	"math"

	"gapshade/colormath"
)

// Print is how a patterned face lies in b, by its own pattern.
type Print struct {
	DX, DY float64 // to be added to its place in b, px; up to Reach
	Here   float64 // correlation of the slopes where it should lie
	Best   float64 // and at the best place
	Points int     // that were compared
}

// Prints compares the slopes of both planes (logarithms of luminances: the exposure falls
// out) inside every face, at every shift up to Reach. label says whose face a pixel is,
// clear of its edges, 1…n, 0 for nobody's.
func Prints(label []int32, n int, a, b *Plane, threads int) []Print {
	const side = 2*Reach + 1
	a, b = a.Soft(threads), b.Soft(threads)
	var at []int
	for y := Reach + 1; y < a.H-Reach-1; y++ {
		for x := Reach + 1 + y%2; x < a.W-Reach-1; x += 2 { // as on a chequer: neighbours tell the same
			if label[y*a.W+x] > 0 {
				at = append(at, y*a.W+x)
			}
		}
	}
	slope := func(p *Plane, i int) (dx, dy float64) {
		return float64(p.V[i+1] - p.V[i-1]), float64(p.V[i+p.W] - p.V[i-p.W])
	}
	own, points := make([]float64, n+1), make([]int, n+1)
	for _, i := range at {
		dx, dy := slope(a, i)
		own[label[i]] += dx*dx + dy*dy
		points[label[i]]++
	}
	var like [side * side][]float64
	colormath.Rows(len(like), threads, func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			back := (k/side-Reach)*b.W + k%side - Reach
			both, other := make([]float64, n+1), make([]float64, n+1)
			for _, i := range at {
				ax, ay := slope(a, i)
				bx, by := slope(b, i-back)
				both[label[i]] += ax*bx + ay*by
				other[label[i]] += bx*bx + by*by
			}
			for t := range both {
				both[t] /= math.Sqrt(own[t]*other[t]) + 1e-9
			}
			like[k] = both
		}
	})
	out := make([]Print, n+1)
	for t := 1; t <= n; t++ {
		out[t] = best(func(i, j int) float64 { return like[(j+Reach)*side+i+Reach][t] })
		out[t].Points = points[t]
	}
	return out
}

// best is the place of the highest correlation, between whole pixels by a parabola.
func best(like func(i, j int) float64) Print {
	dx, dy, _ := lowest(func(i, j int) float64 { return -like(i, j) })
	return Print{DX: dx, DY: dy, Here: like(0, 0), Best: like(int(math.Round(dx)), int(math.Round(dy)))}
}
