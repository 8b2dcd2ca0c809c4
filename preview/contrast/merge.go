package contrast

import (
	"math"

	"gapshade/colormath"
)

// A tile loses its outline when the joint is this near to it: lightness decides
// where an edge is seen (below about ΔL* 10 an edge between matt surfaces turns
// soft), but a strong difference of colour keeps pieces apart at equal
// lightness. The limits are ours.
const (
	MergeDeltaL = 10.0
	MergeChroma = 20.0
)

// near reports whether two colours lie within the limits.
func near(a, b colormath.Lab) bool {
	return math.Abs(a.L-b.L) < MergeDeltaL && math.Hypot(a.A-b.A, a.B-b.B) < MergeChroma
}

// Measure holds one shade against every tile. Burnt-out tiles get their numbers
// too, but lose no outline, join no group and count in no sum.
func (p *Panel) Measure(shade colormath.Lab) Stats {
	s := Stats{Tiles: make([]TileContrast, len(p.Lab)), Afar: p.Afar(shade), Shift: p.Shift(shade)}
	dl, hy, de := make([]float64, 0, len(p.Lab)), make([]float64, 0, len(p.Lab)), make([]float64, 0, len(p.Lab))
	for i, t := range p.Lab {
		c := TileContrast{
			DeltaL: shade.L - t.L,
			HyAB:   colormath.HyAB(shade, t),
			DE00:   colormath.DeltaE2000(shade, t),
			Loses:  !p.Burnt[i] && near(shade, t),
		}
		s.Tiles[i] = c
		if !p.Burnt[i] {
			dl, hy, de = append(dl, c.DeltaL), append(hy, c.HyAB), append(de, c.DE00)
		}
	}
	s.DeltaL, s.HyAB, s.DE00 = colormath.SpreadOf(dl), colormath.SpreadOf(hy), colormath.SpreadOf(de)
	s.Grid = p.grid(func(i int) float64 { return s.Tiles[i].HyAB })
	loses := func(i int) bool { return s.Tiles[i].Loses }
	var group []int
	s.Merging, group = p.merge(loses, p.Lab)
	for i, g := range group {
		s.Tiles[i].Group = g
	}
	return s
}

// merge joins neighbours that both lose their outline and are near each other in
// the given colours. It returns the sums and every tile's group.
func (p *Panel) merge(loses func(i int) bool, colour []colormath.Lab) (Merging, []int) {
	s, group := Merging{Pieces: len(p.Lab)}, make([]int, len(p.Lab))
	root := newUnion(len(p.Lab))
	for _, b := range p.Map.Borders {
		i, j := b.A-1, b.B-1
		if loses(i) && loses(j) && near(colour[i], colour[j]) {
			root.join(i, j)
		}
	}
	members, area := make([]int, len(p.Lab)), make([]float64, len(p.Lab))
	lost := 0.0
	for i, a := range p.area {
		if loses(i) {
			lost += a
		}
		r := root.find(i)
		members[r]++
		area[r] += a
	}
	if p.total == 0 {
		return s, group
	}
	s.MergingShare = lost / p.total
	number := make([]int, len(p.Lab))
	for i := range p.Lab {
		r := root.find(i)
		if members[r] < 2 {
			continue
		}
		if number[r] == 0 {
			s.Groups++
			number[r] = s.Groups
			s.Pieces -= members[r] - 1
		}
		group[i] = number[r]
		s.LargestShare = max(s.LargestShare, area[r]/p.total)
	}
	return s, group
}

// union is a disjoint-set forest (Galler, Fischer, 1964); the smallest number
// is the root, so the result does not depend on the order of the joins.
type union []int

func newUnion(n int) union {
	u := make(union, n)
	for i := range u {
		u[i] = i
	}
	return u
}

func (u union) find(i int) int {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

func (u union) join(i, j int) {
	a, b := u.find(i), u.find(j)
	u[max(a, b)] = min(a, b)
}
