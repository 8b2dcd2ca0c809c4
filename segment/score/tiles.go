package score

// LeastTile is the area in px² from which a piece of a w × h picture counts as
// a tile where the truth is a mask without numbers: 30, or a ten-thousandth of
// the picture.
func LeastTile(w, h int) int { return max(30, (w*h+9999)/10000) }

// Tiles numbers the 4-connected pieces of panel that are no gap, 1…n in reading
// order of their first pixel; pieces below least px² stay 0. Should there be
// more than 65,535, the rest stays 0 as well.
func Tiles(w, h int, panel, gap []bool, least int) (label []uint16, n int) {
	same(w*h, len(gap))
	label, seen := make([]uint16, w*h), make([]bool, w*h)
	var piece []int
	for i := range counted(panel, w*h) {
		if gap[i] || seen[i] || n == 65535 {
			continue
		}
		piece = flood(piece[:0], w, h, i, seen, func(j int) bool { return !gap[j] && (panel == nil || panel[j]) })
		if len(piece) < least {
			continue
		}
		n++
		for _, j := range piece {
			label[j] = uint16(n)
		}
	}
	return label, n
}

// flood collects the piece that holds pixel i and marks it as seen.
func flood(piece []int, w, h, i int, seen []bool, on func(j int) bool) []int {
	take := func(j int) {
		if !seen[j] && on(j) {
			seen[j] = true
			piece = append(piece, j)
		}
	}
	take(i)
	for k := 0; k < len(piece); k++ {
		j := piece[k]
		if j%w > 0 {
			take(j - 1)
		}
		if j%w < w-1 {
			take(j + 1)
		}
		if j >= w {
			take(j - w)
		}
		if j < w*(h-1) {
			take(j + w)
		}
	}
	return piece
}

// CountError is |found − truth| / truth, 0 upwards. A truth of 0 gives 0 or 1,
// as nothing or something was found.
func CountError(truth, found int) float64 {
	if truth == 0 {
		return float64(min(found, 1))
	}
	return float64(max(truth, found)-min(truth, found)) / float64(truth)
}

// TilesF1 is the share of tiles found as one piece in their place: 2·hits over
// the number of tiles in both maps, 0…1. A hit is a pair with an IoU above 0.5;
// more than half leaves room for one partner only, so the pairs need no
// assignment. Two maps without tiles agree: 1.
//
// The detection part of panoptic quality: Kirillov, He, Girshick, Rother,
// Dollár, "Panoptic segmentation", CVPR 2019, section 4.
func TilesF1(truth, found []uint16) float64 {
	t := newTable(truth, found, false)
	tiles := positive(t.truth) + positive(t.found)
	if tiles == 0 {
		return 1
	}
	hits := 0
	for _, c := range t.cells {
		if c.truth == 0 || c.found == 0 {
			continue
		}
		if 2*c.n > t.truth[c.truth]+t.found[c.found]-c.n {
			hits++
		}
	}
	return 2 * float64(hits) / float64(tiles)
}

// positive counts the tile numbers in use, 0 ("no tile") left out.
func positive(size map[uint16]int) int {
	n := len(size)
	if size[0] > 0 {
		n--
	}
	return n
}
