package segment

import (
	"math"
	"slices"
)

// find looks for the panel in a view whose corners nobody gave: tiles that
// stand within a gap or two of each other make one patch; the largest patch,
// with a shoulder round it, is the panel. It reports whether there is one.
func (lay *layout) find(ev *evidence, rim shoulder) bool {
	w, h := ev.tile.w, ev.tile.h
	on := func(i int) bool { return ev.tile.v[i] > .5 }
	runs, n := components(w, h, on)
	size := areas(runs, n)
	keep := lay.likely(runs, size, w, h)
	label := make([]int32, w*h)
	for _, r := range runs {
		if keep[r.id] {
			for x := r.x0; x < r.x1; x++ {
				label[r.y*w+x] = r.id
			}
		}
	}
	away, nearest := distances(w, h, func(i int) bool { return label[i] > 0 })
	gap := roughGap(w, h, label, away, nearest)
	if gap == 0 {
		return false
	}
	for id := range size {
		if !keep[id] {
			size[id] = 0
		}
	}
	side := math.Sqrt(float64(middleSize(size)))
	patch := largestPatch(w, h, away, 1.5*gap)
	deep, _ := distances(w, h, func(i int) bool { return !patch[i] })
	lay.settle(w, h, deep, 1.5*gap, gap/2, side)
	if lay.panel == nil {
		return false
	}
	if out := rim.in(lay.quad, gap/2, ev.scale); out != gap/2 {
		if out > 1.45*gap { // beyond the patch, where depths go on below 0
			beyond, _ := distances(w, h, func(i int) bool { return patch[i] })
			for i := range deep {
				deep[i] -= max(beyond[i]-1, 0) // 0 right outside, as 1 is right inside
			}
		}
		lay.settle(w, h, deep, 1.5*gap, out, side)
	}
	return lay.panel != nil
}

// shoulder is how far the grout will reach beyond the outermost tiles.
type shoulder struct {
	px       float64 // picture px; 0 = not said
	mm       float64 // the same in mm; 0 = the usual one
	panelMm2 float64 // the area of the panel, or of the box round a free one, mm²; 0 = not known
}

// The usual shoulder is half the middle gap, as if one more tile followed; at least
// and at most so many mm, because less can't be struck off cleanly and more would be
// a border of grout of its own (common practice, no source).
const leastShoulder, mostShoulder = 1.0, 5.0

// in gives the shoulder in view px; half is half the middle gap, with which q was
// drawn. Where only the panel's area is known, the scale follows from that outline with
// the shoulder taken off again and put on anew until the two agree.
func (s shoulder) in(q Quad, half, scale float64) float64 {
	if s.px > 0 {
		return s.px * scale
	}
	if s.panelMm2 == 0 {
		return half
	}
	out := half
	for range 4 {
		grown := q.Grown(out - half)
		perMm := math.Sqrt(grown.Area() / s.panelMm2)
		mm := s.mm
		if mm == 0 {
			mm = min(max(half/perMm, leastShoulder), mostShoulder)
		}
		out = mm * perMm
	}
	return out
}

// takeAll makes the whole view the panel.
func (lay *layout) takeAll(w, h int) {
	lay.whole = true
	x, y := float64(w)-.5, float64(h)-.5
	lay.quad = Quad{{-.5, -.5}, {x, -.5}, {x, y}, {-.5, y}}
	lay.pts, lay.holes, lay.free = lay.quad[:], nil, false
	lay.panel = filled(w, h, lay.pts)
}

// likely says which components can be tiles: no specks, and nothing that fills
// a large part of the picture and touches its border (that is the table).
func (lay *layout) likely(runs []run, size []int, w, h int) []bool {
	touches := make([]bool, len(size))
	for _, r := range runs {
		if r.y == 0 || r.y == h-1 || r.x0 == 0 || r.x1 == w {
			touches[r.id] = true
		}
	}
	inner := []int{}
	for id := 1; id < len(size); id++ {
		if !touches[id] {
			inner = append(inner, size[id])
		}
	}
	speck := speckLimit(inner)
	keep := make([]bool, len(size))
	for id := 1; id < len(size); id++ {
		keep[id] = size[id] >= speck && !(touches[id] && size[id] > w*h/20)
	}
	return keep
}

// roughGap is the middle distance between neighbouring pieces, 0 without any;
// away and nearest are the distances from them.
func roughGap(w, h int, label []int32, away []float32, nearest []int32) float64 {
	var widths []float64
	facing(w, h, label, nearest, func(i, j int, a, b int32) {
		if d := float64(away[i] + away[j]); d < .2*float64(min(w, h)) {
			widths = append(widths, d)
		}
	})
	if len(widths) < 8 {
		return 0
	}
	slices.Sort(widths)
	return widths[len(widths)/2]
}

// largestPatch joins tiles that stand within twice the reach of each other and
// returns the mask of the largest patch, grown by reach; away is the distance from
// any tile.
func largestPatch(w, h int, away []float32, reach float64) []bool {
	near := make([]bool, w*h)
	for i := range near {
		near[i] = float64(away[i]) <= reach
	}
	return largestPart(w, h, near)
}

// largestPart keeps the largest 4-connected part of a mask.
func largestPart(w, h int, mask []bool) []bool {
	runs, n := components(w, h, func(i int) bool { return mask[i] })
	size := areas(runs, n)
	best := 0
	for id := range size {
		if size[id] > size[best] {
			best = id
		}
	}
	out := make([]bool, w*h)
	for _, r := range runs {
		if int(r.id) == best {
			for x := r.x0; x < r.x1; x++ {
				out[r.y*w+x] = true
			}
		}
	}
	return out
}
