package segment

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// border finds which tiles face each other across a gap, and how wide the gaps
// are. The pairing is done in view px (a gap is a handful of px wide there); the
// widths are measured on the full-resolution coverage.
func (m *Map) border(ev *evidence) {
	w, h := ev.w, ev.h
	label := make([]int32, w*h)
	for y := range h {
		for x := range w {
			fx, fy := ev.toFull(float64(x), float64(y))
			i, j := int(math.Round(fx)), int(math.Round(fy))
			if i >= 0 && j >= 0 && i < m.W && j < m.H {
				label[y*w+x] = int32(m.Label[j*m.W+i])
			}
		}
	}
	_, nearest := distances(w, h, func(i int) bool { return label[i] > 0 })
	pairs := map[[2]int32][]float64{}
	facing(w, h, label, nearest, func(i, j int, a, b int32) {
		if !ev.lay.panel[i] || !ev.lay.panel[j] {
			return
		}
		k := [2]int32{min(a, b), max(a, b)}
		pairs[k] = append(pairs[k], m.widthBetween(ev, nearest[i], nearest[j]))
	})
	m.collect(pairs, 1/ev.scale)
}

// collect turns the samples into borders, in order of tile numbers. A pair that
// stands more than three middle gaps apart, or faces over less than the gap's
// width, looks past a corner or over a hole in the layout: no joint lies between
// them.
func (m *Map) collect(pairs map[[2]int32][]float64, step float64) {
	var all []float64
	for k, ws := range pairs {
		slices.Sort(ws)
		m.Borders = append(m.Borders, Border{A: int(k[0]), B: int(k[1]),
			Length: int(math.Round(float64(len(ws)) * step)), WidthPx: colormath.Quantile(ws, .5)})
		all = append(all, ws...)
	}
	if len(all) == 0 {
		return
	}
	slices.Sort(all)
	far := 3 * colormath.Quantile(all, .5)
	m.Borders = slices.DeleteFunc(m.Borders, func(b Border) bool { return b.WidthPx > far || float64(b.Length) < b.WidthPx })
	slices.SortFunc(m.Borders, func(a, b Border) int {
		return cmp.Or(cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
	near := all[:0]
	for _, v := range all {
		if v <= far {
			near = append(near, v)
		}
	}
	m.GapWidthPx = colormath.SpreadOf(near)
}

// widthBetween adds up the gap coverage on the straight way between two tile
// pixels of the view, with a pixel and a half of tile at either end so that the
// soft edges count in full. Picture px.
func (m *Map) widthBetween(ev *evidence, from, to int32) float64 {
	x0, y0 := ev.toFull(float64(int(from)%ev.w), float64(int(from)/ev.w))
	x1, y1 := ev.toFull(float64(int(to)%ev.w), float64(int(to)/ev.w))
	d := math.Hypot(x1-x0, y1-y0)
	if d == 0 {
		return 0
	}
	ux, uy := (x1-x0)/d, (y1-y0)/d
	reach := 1.5 / ev.scale
	n := int(math.Ceil((d + 2*reach) * 2))
	step := (d + 2*reach) / float64(n)
	var sum float64
	for k := range n {
		t := (float64(k)+.5)*step - reach
		sum += m.gapAt(x0+t*ux, y0+t*uy)
	}
	return sum * step
}

// gapAt reads the coverage between pixel centres, 0…1.
func (m *Map) gapAt(x, y float64) float64 {
	x, y = min(max(x, 0), float64(m.W-1)), min(max(y, 0), float64(m.H-1))
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	i1, j1 := min(i+1, m.W-1), min(j+1, m.H-1)
	g := func(i, j int) float64 { return float64(m.Gap[j*m.W+i]) }
	return ((g(i, j)*(1-fx)+g(i1, j)*fx)*(1-fy) + (g(i, j1)*(1-fx)+g(i1, j1)*fx)*fy) / 255
}
