package sheet

import (
	"slices"

	"gapshade/preview"
)

// neighbours lists, for every tile by index, the tiles across its gaps, in
// rising order.
func neighbours(p *preview.Proof) [][]int {
	out := make([][]int, len(p.Map.Tiles))
	for _, b := range p.Map.Borders {
		out[b.A-1] = append(out[b.A-1], b.B-1)
		out[b.B-1] = append(out[b.B-1], b.A-1)
	}
	for _, n := range out {
		slices.Sort(n)
	}
	return out
}

// groupPlaces gives every merged group (by number − 1) a colour, 0…5, that no
// group facing it has.
func groupPlaces(t *preview.Trial, around [][]int) []int {
	touch := groupGraph(t, around)
	place, used := make([]int, len(touch)), [len(groupColours)]int{}
	for i := range place {
		place[i] = -1
	}
	for _, g := range slices.Backward(smallestLast(touch)) {
		c := freeColour(g, touch, place, used)
		place[g] = c
		used[c]++
	}
	return place
}

// groupGraph lists the groups that face each group, by group number − 1.
func groupGraph(t *preview.Trial, around [][]int) [][]int {
	touch := make([][]int, t.Groups)
	for i, n := range around {
		g := t.Tiles[i].Group
		for _, j := range n {
			if h := t.Tiles[j].Group; g > 0 && h > 0 && g != h {
				touch[g-1] = append(touch[g-1], h-1)
			}
		}
	}
	for g, n := range touch {
		slices.Sort(n)
		touch[g] = slices.Compact(n)
	}
	return touch
}

// smallestLast removes, again and again, the group that faces the fewest of
// those left (Matula and Beck, J. ACM 30, 417, 1983). Coloured in the reverse
// order, a group meets at most as many coloured neighbours as it had when it
// was removed; on a flat map that is five at most, so six colours suffice.
func smallestLast(touch [][]int) []int {
	degree, gone := make([]int, len(touch)), make([]bool, len(touch))
	for g, n := range touch {
		degree[g] = len(n)
	}
	var order []int
	for range touch {
		pick := -1
		for g := range touch {
			if !gone[g] && (pick < 0 || degree[g] < degree[pick]) {
				pick = g
			}
		}
		gone[pick] = true
		order = append(order, pick)
		for _, n := range touch[pick] {
			degree[n]--
		}
	}
	return order
}

// freeColour is the colour that the fewest neighbours have (none, on a flat
// map), of those the one used least so far, so that all six appear.
func freeColour(g int, touch [][]int, place []int, used [len(groupColours)]int) int {
	var taken [len(groupColours)]int
	for _, n := range touch[g] {
		if place[n] >= 0 {
			taken[place[n]]++
		}
	}
	best := 0
	for c := range taken {
		if taken[c] < taken[best] || taken[c] == taken[best] && used[c] < used[best] {
			best = c
		}
	}
	return best
}
