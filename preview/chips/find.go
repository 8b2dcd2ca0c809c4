package chips

import (
	"cmp"
	"image"
	"slices"
)

// What passes for a chip (ours): a thousandth of the photo or more, no thinner than
// leastAcross pixels, and filling most of its box. A pen or a ruler is longer than
// mostLong times its width.
const (
	leastShare  = 0.001
	mostShare   = 0.4
	leastAcross = 10
	leastFill   = 0.45
	mostLong    = 8
	mostChips   = 64
)

// find returns the boxes of what lies on the ground: parts that are not ground and
// do not reach the photo's border, in reading order.
func find(w, h int, on []bool) []image.Rectangle {
	seen := slices.Clone(on)
	var boxes []image.Rectangle
	var todo []int
	for start := range seen {
		if seen[start] {
			continue
		}
		box, area, border := image.Rectangle{Min: image.Pt(w, h)}, 0, false
		seen[start] = true
		for todo = append(todo[:0], start); len(todo) > 0; {
			i := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			x, y := i%w, i/w
			area++
			border = border || x == 0 || y == 0 || x == w-1 || y == h-1
			box.Min.X, box.Min.Y = min(box.Min.X, x), min(box.Min.Y, y)
			box.Max.X, box.Max.Y = max(box.Max.X, x+1), max(box.Max.Y, y+1)
			for _, d := range [4]int{-1, 1, -w, w} {
				j := i + d
				if j < 0 || j >= w*h || d == -1 && x == 0 || d == 1 && x == w-1 || seen[j] {
					continue
				}
				seen[j] = true
				todo = append(todo, j)
			}
		}
		if !border && passes(box, area, w*h) {
			boxes = append(boxes, box)
		}
	}
	return inReadingOrder(boxes)
}

func passes(box image.Rectangle, area, all int) bool {
	short, long := min(box.Dx(), box.Dy()), max(box.Dx(), box.Dy())
	share := float64(area) / float64(all)
	return share >= leastShare && share <= mostShare && short >= leastAcross && long <= mostLong*short &&
		float64(area) >= leastFill*float64(box.Dx()*box.Dy())
}

// inReadingOrder sorts boxes by rows: boxes whose middles lie within half a height
// of the row's first box stand in one row.
func inReadingOrder(boxes []image.Rectangle) []image.Rectangle {
	middle := func(r image.Rectangle) int { return r.Min.Y + r.Max.Y }
	slices.SortFunc(boxes, func(a, b image.Rectangle) int {
		return cmp.Or(cmp.Compare(middle(a), middle(b)), cmp.Compare(a.Min.X, b.Min.X))
	})
	for i := 0; i < len(boxes); {
		j := i + 1
		for j < len(boxes) && middle(boxes[j])-middle(boxes[i]) < boxes[i].Dy() {
			j++
		}
		slices.SortFunc(boxes[i:j], func(a, b image.Rectangle) int { return cmp.Compare(a.Min.X, b.Min.X) })
		i = j
	}
	return boxes
}
