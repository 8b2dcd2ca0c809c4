package contrast

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
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

// Measure holds one shade against every tile. tiles and m.Tiles go together.
func Measure(tiles []colormath.Lab, m *segment.Map, shade colormath.Lab) Stats {
	s := Stats{Tiles: make([]TileContrast, len(tiles))}
	dl, hy, de := make([]float64, len(tiles)), make([]float64, len(tiles)), make([]float64, len(tiles))
	for i, t := range tiles {
		c := TileContrast{
			DeltaL: shade.L - t.L,
			HyAB:   colormath.HyAB(shade, t),
			DE00:   colormath.DeltaE2000(shade, t),
			Loses:  near(shade, t),
		}
		s.Tiles[i], dl[i], hy[i], de[i] = c, c.DeltaL, c.HyAB, c.DE00
	}
	s.DeltaL, s.HyAB, s.DE00 = colormath.SpreadOf(dl), colormath.SpreadOf(hy), colormath.SpreadOf(de)
	s.merge(tiles, m)
	return s
}

// merge joins neighbours that both lose their outline and are near each other.
func (s *Stats) merge(tiles []colormath.Lab, m *segment.Map) {
	root := newUnion(len(tiles))
	for _, b := range m.Borders {
		i, j := b.A-1, b.B-1
		if s.Tiles[i].Loses && s.Tiles[j].Loses && near(tiles[i], tiles[j]) {
			root.join(i, j)
		}
	}
	members, area := make([]int, len(tiles)), make([]float64, len(tiles))
	total, lost := 0.0, 0.0
	for i := range tiles {
		a := m.Tiles[i].AreaPx
		total += a
		if s.Tiles[i].Loses {
			lost += a
		}
		r := root.find(i)
		members[r]++
		area[r] += a
	}
	if total == 0 {
		return
	}
	s.MergingShare = lost / total
	number := make([]int, len(tiles))
	for i := range tiles {
		r := root.find(i)
		if members[r] < 2 {
			continue
		}
		if number[r] == 0 {
			s.Groups++
			number[r] = s.Groups
		}
		s.Tiles[i].Group = number[r]
		s.LargestShare = max(s.LargestShare, area[r]/total)
	}
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
