package segment

import (
	"image"
	"slices"

	"gapshade/colormath"
)

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
// indices are those of the whole mask. on is asked from several goroutines.
func componentsIn(w int, win image.Rectangle, on func(i int) bool) (runs []run, n int) {
	runs, start := runsIn(w, win, on)
	parent := make([]int32, len(runs))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for y := 1; y < len(start)-1; y++ {
		above := start[y-1]
		for i := start[y]; i < start[y+1]; i++ {
			r := &runs[i]
			for above < start[y] && runs[above].x1 <= r.x0 {
				above++
			}
			for k := above; k < start[y] && runs[k].x0 < r.x1; k++ {
				a, b := find(int32(k)), find(int32(i))
				parent[max(a, b)] = min(a, b)
			}
		}
	}
	number := make([]int32, len(parent))
	for i := range runs {
		root := find(int32(i))
		if number[root] == 0 {
			n++
			number[root] = int32(n)
		}
		runs[i].id = number[root]
	}
	return runs, n
}

// runsIn finds the runs of a window, row by row; those of its row y are
// runs[start[y]:start[y+1]].
func runsIn(w int, win image.Rectangle, on func(i int) bool) (runs []run, start []int) {
	rows := make([][]run, win.Dy())
	colormath.Rows(len(rows), 0, func(y0, y1 int) {
		var band []run // rows point into it, or into what it was before it grew
		for k := y0; k < y1; k++ {
			y, first := win.Min.Y+k, len(band)
			for x := win.Min.X; x < win.Max.X; x++ {
				if !on(y*w + x) {
					continue
				}
				x0 := x
				for x < win.Max.X && on(y*w+x) {
					x++
				}
				band = append(band, run{y: y, x0: x0, x1: x})
			}
			rows[k] = band[first:]
		}
	})
	start = make([]int, 1, len(rows)+1)
	for _, r := range rows {
		start = append(start, start[len(start)-1]+len(r))
	}
	return slices.Concat(rows...), start
}

// areas sums the runs of each component; areas[0] is unused.
func areas(runs []run, n int) []int {
	a := make([]int, n+1)
	for _, r := range runs {
		a[r.id] += r.x1 - r.x0
	}
	return a
}
