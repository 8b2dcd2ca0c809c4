package score

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// table counts how often tile numbers of two maps meet in a pixel.
type table struct {
	cells        []cell // only those that occur, in order, so that sums come out alike every time
	truth, found map[uint16]int
	n            int // pixels counted
}

type cell struct {
	truth, found uint16
	n            int
}

// newTable counts all pixels, or only those that are a tile in truth.
func newTable(truth, found []uint16, tilesOnly bool) *table {
	same(len(truth), len(found))
	both := map[[2]uint16]int{}
	for i, a := range truth {
		if a > 0 || !tilesOnly {
			both[[2]uint16{a, found[i]}]++
		}
	}
	t := &table{truth: map[uint16]int{}, found: map[uint16]int{}}
	for k, n := range both {
		t.cells = append(t.cells, cell{k[0], k[1], n})
		t.truth[k[0]] += n
		t.found[k[1]] += n
		t.n += n
	}
	slices.SortFunc(t.cells, func(a, b cell) int {
		return cmp.Or(cmp.Compare(a.truth, b.truth), cmp.Compare(a.found, b.found))
	})
	return t
}

// Variation is the variation of information between two maps, in bits, as its
// two parts: splits, what the found number still leaves open when the true one
// is known, H(found|truth), grows where a tile is found in pieces; merges,
// H(truth|found), where several are found as one. Their sum is a distance. All
// pixels count, and 0 is a number like any other: the gap is one large piece.
//
// Meilă, "Comparing clusterings: an information based distance", J. Multivariate
// Analysis 98 (2007) 873–895.
func Variation(truth, found []uint16) (splits, merges float64) {
	t := newTable(truth, found, false)
	for _, c := range t.cells {
		n := float64(c.n)
		splits += n * math.Log2(float64(t.truth[c.truth])/n)
		merges += n * math.Log2(float64(t.found[c.found])/n)
	}
	all := float64(max(t.n, 1))
	return splits / all, merges / all
}

// RandError is the adapted Rand error, 0…1: one minus the F1 of the question
// "do these two pixels belong to one tile?", asked of all pairs of pixels that
// are tile in truth. Gap in truth is left out, gap found there counts as one
// piece. Large tiles weigh more than small ones. Without any pair there is
// nothing to get wrong: 0.
//
// Arganda-Carreras and others, "Crowdsourcing the creation of image segmentation
// algorithms for connectomics", Front. Neuroanat. 9:142 (2015).
func RandError(truth, found []uint16) float64 {
	t := newTable(truth, found, true)
	both := 0.0
	for _, c := range t.cells {
		both += pairs(c.n)
	}
	either := pairsIn(t.truth) + pairsIn(t.found)
	if either == 0 {
		return 0
	}
	// with precision both/found and recall both/truth, F1 is 2·both/(truth+found)
	return 1 - 2*both/either
}

// pairs is the number of ordered pairs of n different things.
func pairs(n int) float64 { return float64(n) * float64(n-1) }

func pairsIn(size map[uint16]int) float64 {
	sum := 0.0
	for _, k := range slices.Sorted(maps.Keys(size)) {
		sum += pairs(size[k])
	}
	return sum
}
