package quantity

import (
	"math"
	"slices"

	"gapshade/colormath"
)

// Narrows is a panel, perhaps reduced, with the gaps that are hard to fill.
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

// Size and fineness of the map, ours: its long side stays under largestMap,
// unless the narrowest allowed joint would then be under leastPx, where a pixel
// decides.
const (
	largestMap = 1600
	leastPx    = 3.0
)

// FindNarrow marks where a gap is too narrow for a disc of HardToFillMm. gap is
// the share of each pixel that is gap, 0…255, inside tells the panel's pixels,
// both w × h row by row; threads as in colormath.Rows. ok is false when the photo
// is too coarse to tell.
//
// Widths are true to about a pixel. Open ground beyond the panel counts as
// room, so a thin rim outside the last tiles is not a narrow gap.
func FindNarrow(gap []uint8, inside []bool, w, h int, mmPerPx float64, threads int) (n Narrows, ok bool) {
	if !(mmPerPx > 0) || HardToFillMm/mmPerPx < leastPx || w <= 0 || h <= 0 || len(gap) < w*h || len(inside) < w*h {
		return n, false
	}
	k := (max(w, h) + largestMap - 1) / largestMap
	if finest := int(HardToFillMm / mmPerPx / leastPx); k > finest {
		k = finest
	}
	n = reduced(gap, inside, w, h, k, threads)
	n.mark(HardToFillMm/(mmPerPx*float64(k)), threads)
	return n, true
}

// reduced puts k × k pixels into a cell.
func reduced(gap []uint8, inside []bool, w, h, k, threads int) Narrows {
	n := Narrows{W: w / k, H: h / k}
	n.Cell = make([]Cell, n.W*n.H)
	colormath.Rows(n.H, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range n.W {
				n.Cell[y*n.W+x] = cellAt(gap, inside, w, x*k, y*k, k)
			}
		}
	})
	return n
}

func cellAt(gap []uint8, inside []bool, w, x0, y0, k int) Cell {
	in, sum := 0, 0
	for y := y0; y < y0+k; y++ {
		for i := y*w + x0; i < y*w+x0+k; i++ {
			if inside[i] {
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

// bandRows is how many rows are opened at a time, ours: distances over a whole
// photo would take eight bytes for each of its pixels, twice.
const bandRows = 256

// mark opens the free ground with a disc of so many cells: what the disc can't
// reach is narrow.
func (n *Narrows) mark(cells float64, threads int) {
	bands := (n.H + bandRows - 1) / bandRows
	gaps, narrow := make([]int, bands), make([]int, bands)
	marked := slices.Clone(n.Cell)
	colormath.Rows(bands, threads, func(b0, b1 int) {
		for b := b0; b < b1; b++ {
			gaps[b], narrow[b] = n.markBand(marked, cells, b*bandRows, min((b+1)*bandRows, n.H))
		}
	})
	n.Cell = marked
	all, tight := 0, 0
	for b := range bands {
		all, tight = all+gaps[b], tight+narrow[b]
	}
	if all > 0 {
		n.Share = float64(tight) / float64(all)
	}
}

// markBand marks the rows y0 … y1−1 and counts their gap cells. It looks as far
// beyond them as a disc reaches. Beyond the map the ground is free, so that the
// disc can stand outside a panel that fills the picture.
func (n *Narrows) markBand(marked []Cell, cells float64, y0, y1 int) (gaps, narrow int) {
	radius := (cells + 0.5) / 2 // a gap of m cells has its middle m/2 or (m+1)/2 from the tile
	reach := radius + 0.5
	border := int(math.Ceil(radius)+math.Ceil(reach)) + 1
	w, h := n.W+2*border, y1-y0+2*border
	seed := make([]bool, w*h)
	for y := max(0, y0-border); y < min(n.H, y1+border); y++ {
		for x, c := range n.Cell[y*n.W : (y+1)*n.W] {
			seed[(y-y0+border)*w+x+border] = c == Tile
		}
	}
	toTile := squaredDistance(w, h, seed)
	for i, d := range toTile {
		seed[i] = d >= radius*radius
	}
	toRoom := squaredDistance(w, h, seed)
	for y := y0; y < y1; y++ {
		for x := range n.W {
			if n.Cell[y*n.W+x] != Gap {
				continue
			}
			gaps++
			if toRoom[(y-y0+border)*w+x+border] > reach*reach {
				marked[y*n.W+x] = NarrowGap
				narrow++
			}
		}
	}
	return gaps, narrow
}

// Reduced is the map on a long side of at most so many cells, for a picture of
// it. A narrow gap that takes a quarter of a new cell is kept: it is what the
// picture is for.
func (n *Narrows) Reduced(most int) Narrows {
	k := (max(n.W, n.H) + most - 1) / most
	if k <= 1 {
		return *n
	}
	out := Narrows{W: n.W / k, H: n.H / k, Share: n.Share}
	out.Cell = make([]Cell, out.W*out.H)
	for i := range out.Cell {
		out.Cell[i] = n.commonest(i%out.W*k, i/out.W*k, k)
	}
	return out
}

// commonest is the cell that k × k cells are taken for.
func (n *Narrows) commonest(x0, y0, k int) Cell {
	var count [4]int
	for y := y0; y < y0+k; y++ {
		for _, c := range n.Cell[y*n.W+x0 : y*n.W+x0+k] {
			count[c]++
		}
	}
	if 4*count[NarrowGap] >= k*k {
		return NarrowGap
	}
	best := Outside
	for c := Tile; c < NarrowGap; c++ {
		if count[c] > count[best] {
			best = c
		}
	}
	return best
}

// squaredDistance gives each cell's squared distance to the nearest seed, +Inf
// without one: columns first, then the lower envelope of parabolas along rows
// (Felzenszwalb and Huttenlocher, Theory of Computing 8, 415, 2012).
func squaredDistance(w, h int, seed []bool) []float64 {
	d := make([]float64, w*h)
	columns(d, w, h, seed)
	v, z, f := make([]int, w), make([]float64, w+1), make([]float64, w)
	for y := range h {
		row := d[y*w : (y+1)*w]
		copy(f, row)
		envelope(row, f, v, z)
	}
	return d
}

// columns writes squared distances within each column: what was seen above, then
// what is seen below. It goes along the rows, because memory lies that way.
func columns(d []float64, w, h int, seed []bool) {
	run := slices.Repeat([]float64{math.Inf(1)}, w)
	row := func(y int, put func(i int, v float64)) {
		for x := range run {
			if run[x]++; seed[y*w+x] {
				run[x] = 0
			}
			put(y*w+x, run[x]*run[x])
		}
	}
	for y := range h {
		row(y, func(i int, v float64) { d[i] = v })
	}
	for x := range run {
		run[x] = math.Inf(1)
	}
	for y := h - 1; y >= 0; y-- {
		row(y, func(i int, v float64) { d[i] = min(d[i], v) })
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
