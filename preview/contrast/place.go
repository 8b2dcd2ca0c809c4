package contrast

import (
	"math"

	"gapshade/segment"
)

// Where tiles lie, in words (limits ours): mostThere of their area on one side of
// the panel's middle line puts them on that side, mostThere of it within the
// inner box, half as wide and half as high as the panel, in the middle; and the
// same share outside a box of three quarters along the edge.
const (
	mostThere = 0.75
	innerBox  = 0.25 // distance from the middle, of the panel's width or height
	edgeBox   = 0.375
)

// where puts the place of some tiles in words.
func (p *Panel) where(in func(i int) bool) string {
	var all, left, top, inner, rim float64
	for i, a := range p.area {
		if a == 0 || !in(i) {
			continue
		}
		u, v := p.place(p.Map.Tiles[i].Centre)
		all += a
		left += a * sideShare(u)
		top += a * sideShare(v)
		if far := max(math.Abs(u-.5), math.Abs(v-.5)); far < innerBox {
			inner += a
		} else if far > edgeBox {
			rim += a
		}
	}
	if inner >= mostThere*all {
		return "in the middle"
	}
	row, column := sideWord(top/all, "upper", "lower"), sideWord(left/all, "left", "right")
	switch {
	case row != "" && column != "":
		return "in the " + row + " " + column
	case row != "":
		return "in the " + row + " half"
	case column != "":
		return "in the " + column + " half"
	case rim >= mostThere*all:
		return "along the edge"
	}
	return "all over the panel"
}

// sideShare counts a tile near the middle line for both sides in part, so that a
// tile's hair's breadth decides nothing.
func sideShare(u float64) float64 { return 1 - ramp(u, .45, .55) }

func sideWord(share float64, low, high string) string {
	switch {
	case share >= mostThere:
		return low
	case share <= 1-mostThere:
		return high
	}
	return ""
}

// place is where a point lies on the panel: 0 left or top, 1 right or bottom. It
// compares the distances from opposite sides, which a tilted panel changes
// little.
func (p *Panel) place(at segment.Point) (u, v float64) {
	q := p.Map.Panel
	from := func(i int) float64 { return offSide(q[i], q[(i+1)%4], at) }
	top, right, bottom, left := from(0), from(1), from(2), from(3)
	share := func(a, b float64) float64 {
		if a+b <= 0 {
			return .5
		}
		return a / (a + b)
	}
	return share(left, right), share(top, bottom)
}

// offSide is the distance of a point from the line through a and b, 0 beyond it.
func offSide(a, b, at segment.Point) float64 {
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	if d == 0 {
		return 0
	}
	return max(0, ((b.X-a.X)*(at.Y-a.Y)-(b.Y-a.Y)*(at.X-a.X))/d)
}
