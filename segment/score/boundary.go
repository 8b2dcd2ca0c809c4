package score

// Edge marks the boundary of the tiles: pixels that are no gap and have gap
// among their eight neighbours. The outer edge of the panel is not the finder's
// doing, so pixels with anything but panel in the 5 × 5 square round them stay
// out; beyond the picture nothing is looked at.
func Edge(w, h int, panel, gap []bool) []bool {
	same(w*h, len(gap))
	edge := make([]bool, w*h)
	for i := range counted(panel, w*h) {
		edge[i] = !gap[i] &&
			all(w, h, i, 2, func(j int) bool { return panel == nil || panel[j] }) &&
			!all(w, h, i, 1, func(j int) bool { return !gap[j] })
	}
	return edge
}

// all reports whether ok holds everywhere in the square of 2r+1 px round i.
func all(w, h, i, r int, ok func(j int) bool) bool {
	x, y := i%w, i/w
	for v := max(0, y-r); v <= min(h-1, y+r); v++ {
		for u := max(0, x-r); u <= min(w-1, x+r); u++ {
			if !ok(v*w + u) {
				return false
			}
		}
	}
	return true
}

// BoundaryF1 compares two edges (see Edge) with a tolerance in px: precision is
// the share of the found edge that lies within tol of the true one, recall the
// share of the true edge within tol of the found one, F1 their harmonic mean,
// 0…1. Distances run between pixel centres. Two pictures without any edge
// agree: 1; only one without: 0.
//
// Martin, Fowlkes, Malik, "Learning to detect natural image boundaries", IEEE
// TPAMI 26 (2004) 530–549, without their one-to-one assignment of pixels: two
// found edges side by side within tol of one true edge both count as right.
func BoundaryF1(w, h int, panel, truth, found []bool, tol float64) float64 {
	t, f := Edge(w, h, panel, truth), Edge(w, h, panel, found)
	nt, nf := count(t), count(f)
	if nt == 0 && nf == 0 {
		return 1
	}
	hitF, hitT := overlap(f, grown(w, h, t, tol)), overlap(t, grown(w, h, f, tol))
	if hitF == 0 || hitT == 0 {
		return 0
	}
	precision, recall := float64(hitF)/float64(nf), float64(hitT)/float64(nt)
	return 2 * precision * recall / (precision + recall)
}

// grown adds to a mask everything within r px of it. The mask is a thin line
// and r a few px, so stamping discs is quicker than a distance transform.
func grown(w, h int, mask []bool, r float64) []bool {
	out := make([]bool, w*h)
	n := int(r)
	for i, on := range mask {
		if !on {
			continue
		}
		for v := max(0, i/w-n); v <= min(h-1, i/w+n); v++ {
			for u := max(0, i%w-n); u <= min(w-1, i%w+n); u++ {
				dx, dy := float64(u-i%w), float64(v-i/w)
				if dx*dx+dy*dy <= r*r {
					out[v*w+u] = true
				}
			}
		}
	}
	return out
}

func count(mask []bool) int { return overlap(mask, mask) }

func overlap(a, b []bool) int {
	n := 0
	for i := range a {
		if a[i] && b[i] {
			n++
		}
	}
	return n
}
