package segment

import "image"

// run is a row of touching mask pixels, X1 not included, and the component it
// belongs to.
type run struct {
	y, x0, x1 int
	id        int32
}

// components finds the 4-connected parts of a w × h mask. It returns the runs,
// top to bottom, with ids 1…n in reading order of their first pixel.
func components(w, h int, on func(i int) bool) (runs []run, n int) {
	return componentsIn(w, image.Rect(0, 0, w, h), on)
}

// componentsIn does the same inside a window of a mask w px wide; places and
// indices are those of the whole mask.
func componentsIn(w int, win image.Rectangle, on func(i int) bool) (runs []run, n int) {
	var parent []int32
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	above, aboveEnd := 0, 0 // runs of the row above
	for y := win.Min.Y; y < win.Max.Y; y++ {
		rowStart := len(runs)
		for x := win.Min.X; x < win.Max.X; x++ {
			if !on(y*w + x) {
				continue
			}
			x0 := x
			for x < win.Max.X && on(y*w+x) {
				x++
			}
			id := int32(len(parent))
			parent = append(parent, id)
			for above < aboveEnd && runs[above].x1 <= x0 {
				above++
			}
			for k := above; k < aboveEnd && runs[k].x0 < x; k++ {
				a, b := find(runs[k].id), find(id)
				parent[max(a, b)] = min(a, b)
			}
			runs = append(runs, run{y, x0, x, id})
		}
		above, aboveEnd = rowStart, len(runs)
	}
	number := make([]int32, len(parent))
	for i := range runs {
		root := find(runs[i].id)
		if number[root] == 0 {
			n++
			number[root] = int32(n)
		}
		runs[i].id = number[root]
	}
	return runs, n
}

// areas sums the runs of each component; areas[0] is unused.
func areas(runs []run, n int) []int {
	a := make([]int, n+1)
	for _, r := range runs {
		a[r.id] += r.x1 - r.x0
	}
	return a
}
