package pair

import (
	"math"

	"gapshade/colormath"
)

// Reach is how far a tile is looked for, px: half a joint where a joint is eight
// wide, so that it can't be mistaken for its neighbour.
const Reach = 4

// Shift is how far one tile of the second photo lies from where the first has it.
type Shift struct {
	Tile int     // its number in the label map
	X, Y float64 // its middle in the first photo, px
	// DX, DY have to be added to its place in the second photo; px, up to Reach.
	DX, DY float64
	// Rest is the difference that is left after the shift, as a share of the one
	// before it: near 1, the shift explains nothing.
	Rest float64
}

// Shifts measures every tile by the coverage of both photos (0 gap … 1 tile), b
// where the map so far puts it. label says whose surroundings a pixel is, 1…n, 0
// for nobody's; it has to hold each tile and a rim of Reach px round it.
func Shifts(label []int32, n int, a, b *Plane, threads int) []Shift {
	const side = 2*Reach + 1
	near := rims(label, a)
	var sums [side * side][]float64
	colormath.Rows(len(sums), threads, func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			sums[k] = differences(label, n, near, a, b, k%side-Reach, k/side-Reach)
		}
	})
	x, y, size := middles(label, n, a.W)
	out := make([]Shift, 0, n)
	for t := 1; t <= n; t++ {
		if size[t] == 0 {
			continue
		}
		s := Shift{Tile: t, X: x[t] / size[t], Y: y[t] / size[t]}
		s.DX, s.DY, s.Rest = lowest(func(i, j int) float64 { return sums[(j+Reach)*side+i+Reach][t] })
		out = append(out, s)
	}
	return out
}

// rims are the pixels near an edge, far enough from the border to be looked for
// all round: the others tell nothing.
func rims(label []int32, a *Plane) []int {
	var at []int
	for y := Reach; y < a.H-Reach; y++ {
		for x := Reach; x < a.W-Reach; x++ {
			i := y*a.W + x
			if label[i] > 0 && !flat(a, i) {
				at = append(at, i)
			}
		}
	}
	return at
}

// flat says that the coverage is the same at a pixel and Reach px away in eight
// directions.
func flat(a *Plane, i int) bool {
	v := a.V[i]
	for _, d := range [...]int{-Reach * a.W, -Reach, Reach, Reach * a.W} {
		if math.Abs(float64(a.V[i+d]-v)) > .1 || math.Abs(float64(a.V[i+d/2]-v)) > .1 {
			return false
		}
	}
	return true
}

// differences sums, per tile, the squared differences of a to b shifted by (dx, dy).
func differences(label []int32, n int, at []int, a, b *Plane, dx, dy int) []float64 {
	sum := make([]float64, n+1)
	for _, i := range at {
		d := float64(a.V[i] - b.V[i-dy*b.W-dx])
		sum[label[i]] += d * d
	}
	return sum
}

func middles(label []int32, n, w int) (x, y, size []float64) {
	x, y, size = make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i, l := range label {
		x[l] += float64(i % w)
		y[l] += float64(i / w)
		size[l]++
	}
	return x, y, size
}

// lowest finds the lowest of the differences, between whole pixels by a parabola,
// and what share of the one at rest it is.
func lowest(at func(i, j int) float64) (dx, dy, rest float64) {
	bi, bj := 0, 0
	for j := -Reach; j <= Reach; j++ {
		for i := -Reach; i <= Reach; i++ {
			if at(i, j) < at(bi, bj) {
				bi, bj = i, j
			}
		}
	}
	dx, dy = float64(bi), float64(bj)
	if bi > -Reach && bi < Reach {
		dx += bottom(at(bi-1, bj), at(bi, bj), at(bi+1, bj))
	}
	if bj > -Reach && bj < Reach {
		dy += bottom(at(bi, bj-1), at(bi, bj), at(bi, bj+1))
	}
	rest = 1
	if at(0, 0) > 0 {
		rest = at(bi, bj) / at(0, 0)
	}
	return dx, dy, rest
}

// bottom is where the parabola through three values at −1, 0, 1 is lowest.
func bottom(a, b, c float64) float64 {
	bend := a - 2*b + c
	if bend <= 0 {
		return 0
	}
	return min(max((a-c)/(2*bend), -.5), .5)
}
