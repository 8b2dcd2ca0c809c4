package quantity

import "math"

// Narrows is a panel at reduced size with the gaps that are hard to fill.
type Narrows struct {
	W, H  int
	Cell  []Cell  // row by row
	Share float64 // of the gap area that is narrower than HardToFillMm, 0…1
}

// Cell is what lies at one place of Narrows.
type Cell uint8

// The places.
const (
	Outside Cell = iota
	Tile
	Gap
	NarrowGap
)

// Size and fineness of the map, ours: its long side stays under largestMap, and
// the narrowest allowed joint should not be under leastPx, or a pixel decides.
const (
	largestMap = 1600
	leastPx    = 3.0
)

// FindNarrow marks where a gap is too narrow for a disc of HardToFillMm. gap is
// the share of each pixel that is gap, 0…255, inside tells the panel's pixels,
// both w × h row by row. ok is false when the photo is too coarse to tell.
//
// Widths are true to about a pixel. Open ground beyond the panel counts as
// room, so a thin rim outside the last tiles is not a narrow gap.
func FindNarrow(gap []uint8, inside func(i int) bool, w, h int, mmPerPx float64) (n Narrows, ok bool) {
	if !(mmPerPx > 0) || HardToFillMm/mmPerPx < leastPx || w <= 0 || h <= 0 || len(gap) < w*h {
		return n, false
	}
	k := (max(w, h) + largestMap - 1) / largestMap
	if finest := int(HardToFillMm / mmPerPx / leastPx); k > finest {
		k = finest
	}
	n = reduced(gap, inside, w, h, k)
	n.mark(HardToFillMm / (mmPerPx * float64(k)))
	return n, true
}

// reduced puts k × k pixels into a cell.
func reduced(gap []uint8, inside func(i int) bool, w, h, k int) Narrows {
	n := Narrows{W: w / k, H: h / k}
	n.Cell = make([]Cell, n.W*n.H)
	for y := range n.H {
		for x := range n.W {
			n.Cell[y*n.W+x] = cellAt(gap, inside, w, x*k, y*k, k)
		}
	}
	return n
}

func cellAt(gap []uint8, inside func(i int) bool, w, x0, y0, k int) Cell {
	in, sum := 0, 0
	for y := y0; y < y0+k; y++ {
		for x := x0; x < x0+k; x++ {
			if i := y*w + x; inside(i) {
				in++
				sum += int(gap[i])
			}
		}
	}
	switch {
	case 2*in < k*k:
		return Outside
	case 2*sum >= 255*in:
		return Gap
	}
	return Tile
}

// mark opens the free ground with a disc of so many cells: what the disc can't
// reach is narrow. A border of free cells lets the disc stand outside a panel
// that fills the picture.
func (n *Narrows) mark(cells float64) {
	radius := (cells + 0.5) / 2 // a gap of m cells has its middle m/2 or (m+1)/2 from the tile
	border := int(radius) + 2
	w, h := n.W+2*border, n.H+2*border
	at := func(i int) *Cell { // nil on the border
		x, y := i%w-border, i/w-border
		if x < 0 || y < 0 || x >= n.W || y >= n.H {
			return nil
		}
		return &n.Cell[y*n.W+x]
	}
	toTile := squaredDistance(w, h, func(i int) bool { c := at(i); return c != nil && *c == Tile })
	toRoom := squaredDistance(w, h, func(i int) bool { return toTile[i] >= radius*radius })
	gaps, narrow, reach := 0, 0, radius+0.5
	for i := range toRoom {
		c := at(i)
		if c == nil || *c != Gap {
			continue
		}
		gaps++
		if toRoom[i] > reach*reach {
			*c = NarrowGap
			narrow++
		}
	}
	if gaps > 0 {
		n.Share = float64(narrow) / float64(gaps)
	}
}

// squaredDistance gives each cell's squared distance to the nearest seed, +Inf
// without one: columns first, then the lower envelope of parabolas along rows
// (Felzenszwalb and Huttenlocher, Theory of Computing 8, 415, 2012).
func squaredDistance(w, h int, seed func(i int) bool) []float64 {
	d := make([]float64, w*h)
	for x := range w {
		columnDistance(d, w, h, x, seed)
	}
	v, z, f := make([]int, w), make([]float64, w+1), make([]float64, w)
	for y := range h {
		row := d[y*w : (y+1)*w]
		copy(f, row)
		envelope(row, f, v, z)
	}
	return d
}

// columnDistance writes squared distances within one column, down and up.
func columnDistance(d []float64, w, h, x int, seed func(i int) bool) {
	run := math.Inf(1)
	step := func(y int) {
		i := y*w + x
		if run++; seed(i) {
			run = 0
		}
		d[i] = min(d[i], run*run)
	}
	for y := range h {
		d[y*w+x] = math.Inf(1)
		step(y)
	}
	run = math.Inf(1)
	for y := h - 1; y >= 0; y-- {
		step(y)
	}
}

// envelope writes min over q of (x−q)² + f(q) into row; v and z are scratch.
func envelope(row, f []float64, v []int, z []float64) {
	k := -1
	for q := range f {
		if math.IsInf(f[q], 1) {
			continue
		}
		s := math.Inf(-1)
		for k >= 0 {
			p := v[k]
			s = (f[q] + float64(q*q) - f[p] - float64(p*p)) / float64(2*(q-p))
			if s > z[k] {
				break
			}
			k--
			s = math.Inf(-1)
		}
		k++
		v[k], z[k] = q, s
	}
	if k < 0 {
		return // no seed anywhere near: the row stays infinite
	}
	for x, j := 0, 0; x < len(row); x++ {
		for j < k && z[j+1] < float64(x) {
			j++
		}
		dx := float64(x - v[j])
		row[x] = dx*dx + f[v[j]]
	}
}
