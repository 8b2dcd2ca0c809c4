package contrast

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// Cluster is tiles of much the same colour.
type Cluster struct {
	Lab       colormath.Lab // mean colour by area, D50
	Tiles     int
	AreaShare float64 // of the tile area, 0…1
	Name      string  // plain colour words, different for every cluster: "dark teal"
	Where     string  // "in the upper left", "all over the panel"
}

// How tile colours are grouped (ours): colours are told apart from about as far
// as two tiles must be to keep their outlines against each other, and more than a
// handful of groups can't be kept in mind.
const (
	apart        = 20.0 // ΔE*ab between the middles of two clusters
	mostClusters = 7
	cellSide     = 5.0 // Lab units; colours this close start as one
	settleRounds = 20  // after so many the middles have stopped moving
)

// heap is a group of colours on the way to a cluster: sums weighted by area.
type heap struct {
	lab    colormath.Lab // mean
	weight float64
}

// clustersOf groups the tiles' colours. Nothing in it depends on the order or the
// numbers of the tiles: sums run over the colours in rising order.
//
// Colours are first gathered in cells of Lab, then the two nearest heaps are
// joined until the nearest are apart (centroid linkage: few tiles of an odd colour
// stay their own, where k-means would swallow them); should more than a handful
// be left, the ones whose union changes least are joined (Ward, J. Am. Stat.
// Assoc. 58, 236, 1963). At last every tile goes to the nearest middle, and the
// middles follow, until that settles (Lloyd 1957).
func clustersOf(p *Panel) ([]Cluster, []int) {
	order := sorted(p)
	heaps := joined(gathered(p, order), 1, apart, distance)
	heaps = joined(heaps, mostClusters, math.Inf(1), func(a, b heap) float64 {
		return distance(a, b) * math.Sqrt(a.weight*b.weight/(a.weight+b.weight))
	})
	heaps, of := settled(p, order, heaps)
	for n := len(heaps); n > 1; n = len(heaps) { // middles that have moved together are one
		if heaps = joined(heaps, 1, apart, distance); len(heaps) == n {
			break
		}
		heaps, of = settled(p, order, heaps)
	}
	return p.described(heaps, of)
}

// sorted gives the tiles that count, by colour and then by size.
func sorted(p *Panel) []int {
	var order []int
	for i, a := range p.area {
		if a > 0 {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(i, j int) int {
		a, b := p.Lab[i], p.Lab[j]
		return cmp.Or(cmp.Compare(a.L, b.L), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B), cmp.Compare(p.area[i], p.area[j]))
	})
	return order
}

// gathered puts the colours into cells.
func gathered(p *Panel, order []int) []heap {
	at := map[[3]int]int{}
	var heaps []heap
	for _, i := range order {
		c := p.Lab[i]
		cell := [3]int{int(math.Round(c.L / cellSide)), int(math.Round(c.A / cellSide)), int(math.Round(c.B / cellSide))}
		k, ok := at[cell]
		if !ok {
			k = len(heaps)
			at[cell] = k
			heaps = append(heaps, heap{})
		}
		heaps[k] = heaps[k].with(heap{c, p.area[i]})
	}
	return heaps
}

func distance(a, b heap) float64 { return colormath.DeltaE76(a.lab, b.lab) }

// with is the union of two heaps.
func (h heap) with(o heap) heap {
	w := h.weight + o.weight
	f := o.weight / w
	return heap{colormath.Lab{L: h.lab.L + f*(o.lab.L-h.lab.L), A: h.lab.A + f*(o.lab.A-h.lab.A), B: h.lab.B + f*(o.lab.B-h.lab.B)}, w}
}

// joined joins the two heaps of least cost while that is below the limit and more
// than enough are left. Every heap keeps its cheapest partner among the later
// ones, so that a round looks at each heap once and not at each pair.
func joined(heaps []heap, enough int, limit float64, cost func(a, b heap) float64) []heap {
	best := make([]partner, len(heaps))
	for i := range heaps {
		best[i] = seek(heaps, i, cost)
	}
	for len(heaps) > enough {
		i := 0
		for k := range best {
			if best[k].cost < best[i].cost {
				i = k
			}
		}
		j := best[i].at
		if !(best[i].cost < limit) {
			break
		}
		heaps[i] = heaps[i].with(heaps[j])
		heaps, best = slices.Delete(heaps, j, j+1), slices.Delete(best, j, j+1)
		for k := range heaps {
			switch b := &best[k]; {
			case k == i || b.at == i || b.at == j:
				*b = seek(heaps, k, cost)
				continue
			case b.at > j:
				b.at--
			}
			if k < i {
				if c := cost(heaps[k], heaps[i]); c < best[k].cost {
					best[k] = partner{i, c}
				}
			}
		}
	}
	return heaps
}

// partner is the place of the heap that is cheapest to join, and the cost.
type partner struct {
	at   int
	cost float64
}

// seek finds the partner of heap i among those behind it; the last has none.
func seek(heaps []heap, i int, cost func(a, b heap) float64) partner {
	best := partner{-1, math.Inf(1)}
	for j := i + 1; j < len(heaps); j++ {
		if c := cost(heaps[i], heaps[j]); c < best.cost {
			best = partner{j, c}
		}
	}
	return best
}

// settled moves the middles to where their tiles are and returns every tile's
// heap, −1 for those that don't count.
func settled(p *Panel, order []int, heaps []heap) ([]heap, []int) {
	of := make([]int, len(p.Lab))
	for i := range of {
		of[i] = -1
	}
	for range settleRounds {
		next, moved := make([]heap, len(heaps)), false
		for _, i := range order {
			best := nearestHeap(heaps, p.Lab[i])
			moved = moved || of[i] != best
			of[i] = best
			next[best] = next[best].with(heap{p.Lab[i], p.area[i]})
		}
		if !moved {
			break
		}
		heaps = next
	}
	return heaps, of
}

// nearestHeap is the place of the heap whose middle is nearest; one that has lost
// all its tiles is no heap any more.
func nearestHeap(heaps []heap, c colormath.Lab) int {
	best, least := 0, math.Inf(1)
	for k, h := range heaps {
		if d := colormath.DeltaE76(c, h.lab); h.weight > 0 && d < least {
			best, least = k, d
		}
	}
	return best
}

// described numbers the clusters, the largest first and of equals the darkest,
// and puts them in words.
func (p *Panel) described(heaps []heap, of []int) ([]Cluster, []int) {
	order := make([]int, 0, len(heaps))
	for k, h := range heaps {
		if h.weight > 0 {
			order = append(order, k)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(heaps[b].weight, heaps[a].weight), cmp.Compare(heaps[a].lab.L, heaps[b].lab.L),
			cmp.Compare(heaps[a].lab.A, heaps[b].lab.A), cmp.Compare(heaps[a].lab.B, heaps[b].lab.B))
	})
	place, clusters := make([]int, len(heaps)), make([]Cluster, len(order))
	for k, h := range order {
		place[h] = k
		clusters[k] = Cluster{Lab: heaps[h].lab, AreaShare: heaps[h].weight / p.total}
	}
	for i, k := range of {
		if k >= 0 {
			of[i] = place[k]
			clusters[place[k]].Tiles++
		}
	}
	nameAll(clusters)
	for k := range clusters {
		clusters[k].Where = p.where(func(i int) bool { return of[i] == k })
	}
	return clusters, of
}
