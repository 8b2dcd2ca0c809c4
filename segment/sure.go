package segment

import (
	"cmp"
	"image"
	"math"
	"slices"

	"gapshade/colormath"
)

// Sureness says how far to trust a map, place by place: a grid over the picture.
// It knows what the finder was in doubt about. It can't know where the finder was
// sure and wrong, such as a joint of which nothing is seen.
type Sureness struct {
	W, H   int     // columns and rows
	CellPx float64 // side of a cell; column i holds the pixels from i·CellPx to below (i+1)·CellPx
	Of     []uint8 // cell by cell, row by row: 1 … 255 (sure), 0 where nothing of the panel lies
}

// Region is a part of the grid that hangs together.
type Region struct {
	Box   image.Rectangle // picture px
	Cells int
	Sure  float64 // of its middle cell, 0…1
}

// Weak gives the regions of at least two cells in which the map is less sure than
// a limit, 0…1, the one with most to make up for first. One cell alone is too small
// to point at.
func (s *Sureness) Weak(limit float64) (out []Region) {
	low := func(i int) bool { return s.Of[i] > 0 && float64(s.Of[i]) < 255*limit }
	runs, n := components(s.W, s.H, low)
	cells, short := make([][]float64, n+1), make([]float64, n+1)
	box := make([]image.Rectangle, n+1)
	for _, r := range runs {
		at := func(v int) int { return int(math.Round(float64(v) * s.CellPx)) }
		box[r.id] = box[r.id].Union(image.Rect(at(r.x0), at(r.y), at(r.x1), at(r.y+1)))
		for x := r.x0; x < r.x1; x++ {
			v := float64(s.Of[r.y*s.W+x]) / 255
			cells[r.id] = append(cells[r.id], v)
			short[r.id] += limit - v
		}
	}
	ids := make([]int, 0, n)
	for id := 1; id <= n; id++ {
		if len(cells[id]) > 1 {
			ids = append(ids, id)
		}
	}
	slices.SortStableFunc(ids, func(a, b int) int { return cmp.Compare(short[b], short[a]) })
	for _, id := range ids {
		out = append(out, Region{box[id], len(cells[id]), colormath.Median(cells[id])})
	}
	return out
}

// cellGaps is the side of a cell in gap widths, about that of a tile and its joint;
// mostCells bounds the grid where gaps are hairlines.
const (
	cellGaps  = 8
	mostCells = 64
)

// tally is what is counted in one cell, and round it.
type tally struct {
	panel float64 // view px
	doubt float64 // 4p(1−p) of the tile coverage, added up
	edge  float64 // pairs of neighbouring pixels of which one is tile
	odd   float64 // |log| of the gap's width over the middle one, added up over meetings
	met   float64 // meetings
	huge  float64 // pixels of tiles far larger than the rest
}

func (t *tally) add(o *tally, k float64) {
	t.panel += k * o.panel
	t.doubt += k * o.doubt
	t.edge += k * o.edge
	t.odd += k * o.odd
	t.met += k * o.met
	t.huge += k * o.huge
}

// The marks between which a doubt turns into distrust; the first is where even a
// clean photo stands at worst. Measured on path-traced layouts, as they are and with
// discs of blur, glare and darkness laid on them.
const (
	doubtClean, doubtGood, doubtNone = 0.8, 2.0, 4.5 // doubt per px of edge
	oddGood, oddNone                 = 0.9, 2.0      // mean |log| of a width over the middle one
	hugeGood, hugeNone               = 2.5, 4.0      // deviations from the middle size
	sureGood                         = 0.8           // what a cell has where doubt is at its good mark
)

// sure is how far to trust a place with such counts, 0…1.
func (t *tally) sure() float64 {
	// A few px of edge as clean ones are, so that a cell with hardly any doesn't swing.
	const prior = 5
	doubt := (t.doubt + prior) / (t.edge + prior)
	s := 1 - (1-sureGood)*ramp(doubt, doubtClean, doubtGood)
	if doubt > doubtGood {
		s = sureGood * (1 - ramp(doubt, doubtGood, doubtNone))
	}
	if t.met > 0 {
		s *= 1 - ramp(t.odd/t.met, oddGood, oddNone)
	}
	return s
}

// sureness fills the grid anew. Doubt and widths are counted over a cell and half
// as much over each of its eight neighbours, because an edge that is in doubt puts
// more in doubt than itself. Only a window of the view has changed.
func (a *Analysis) sureness(win image.Rectangle) {
	m, ev := a.m, a.ev
	s := Sureness{CellPx: max(cellGaps*ev.lay.gap/ev.scale, float64(max(m.W, m.H))/mostCells)}
	s.W, s.H = int(math.Ceil(float64(m.W)/s.CellPx)), int(math.Ceil(float64(m.H)/s.CellPx))
	s.Of = make([]uint8, s.W*s.H)
	cells := a.tallies(&s, win)
	for _, in := range m.Inside {
		row := s.Of[int((float64(in.Y)+.5)/s.CellPx)*s.W:]
		for i := int((float64(in.X0) + .5) / s.CellPx); i <= int((float64(in.X1)-.5)/s.CellPx); i++ {
			row[i] = 1
		}
	}
	for i := range cells {
		if s.Of[i] == 0 {
			continue
		}
		var t tally
		for j := max(i/s.W-1, 0); j <= min(i/s.W+1, s.H-1); j++ {
			for k := max(i%s.W-1, 0); k <= min(i%s.W+1, s.W-1); k++ {
				t.add(&cells[j*s.W+k], .5)
			}
		}
		t.add(&cells[i], .5)
		v := t.sure() * (1 - cells[i].huge/max(cells[i].panel, 1))
		s.Of[i] = uint8(1 + math.Round(254*v))
	}
	m.Sure = s
}

// tallies counts over the view; what it can't have seen change in a window it knows.
func (a *Analysis) tallies(s *Sureness, win image.Rectangle) []tally {
	ev, f := a.ev, &a.faces
	col, row := make([]int, ev.w), make([]int, ev.h)
	for x := range col {
		fx, _ := ev.toFull(float64(x), 0)
		col[x] = clampInt(int((fx+.5)/s.CellPx), 0, s.W-1)
	}
	for y := range row {
		_, fy := ev.toFull(0, float64(y))
		row[y] = clampInt(int((fy+.5)/s.CellPx), 0, s.H-1)
	}
	a.recount(s, win, col, row)
	cells := slices.Clone(a.counted)
	if huge := a.m.hugeTiles(); slices.Max(huge) > 0 {
		for i, l := range f.label {
			if huge[l] > 0 && ev.lay.panel[i] && !a.tookOut(i) && !a.known(i) {
				cells[row[i/ev.w]*s.W+col[i%ev.w]].huge += huge[l]
			}
		}
	}
	middle := a.m.GapWidthPx.P50
	for _, c := range f.meet {
		i := int(c.at) / 2
		t := &cells[row[i/ev.w]*s.W+col[i%ev.w]]
		t.met++
		t.odd += math.Abs(math.Log(max(c.width, .1*middle) / middle))
	}
	return cells
}

// recount counts again in the cells that reach into a window of the view, col and row
// being the cells of its pixels; the first time, in all.
func (a *Analysis) recount(s *Sureness, win image.Rectangle, col, row []int) {
	all := image.Rect(0, 0, a.ev.w, a.ev.h)
	win = win.Inset(-1).Intersect(all) // a pixel is held against its neighbours
	if a.counted == nil {
		a.counted, win = make([]tally, s.W*s.H), all
	}
	if win.Empty() {
		return
	}
	j0, n := row[win.Min.Y], row[win.Max.Y-1]-row[win.Min.Y]+1
	left, _ := slices.BinarySearch(col, col[win.Min.X])
	right, _ := slices.BinarySearch(col, col[win.Max.X-1]+1)
	colormath.Rows(n, a.threads, func(b0, b1 int) {
		from, _ := slices.BinarySearch(row, j0+b0)
		to, _ := slices.BinarySearch(row, j0+b1)
		for j := j0 + b0; j < j0+b1; j++ {
			clear(a.counted[j*s.W+col[left] : j*s.W+col[right-1]+1])
		}
		for y := from; y < to; y++ {
			for x := left; x < right; x++ {
				if i := y*a.ev.w + x; a.ev.lay.panel[i] && !a.tookOut(i) {
					a.count(&a.counted[row[y]*s.W+col[x]], x, y)
				}
			}
		}
	})
}

// known says whether a person has painted a view pixel: what it shows is in no doubt.
func (a *Analysis) known(i int) bool { return a.ev.painted != nil && a.ev.painted[i] > 0 }

// count adds one view pixel to its cell.
func (a *Analysis) count(t *tally, x, y int) {
	ev := a.ev
	i := y*ev.w + x
	p := ev.tile.v[i]
	t.panel++
	if !a.known(i) {
		t.doubt += float64(4 * p * (1 - p))
	}
	if x+1 < ev.w && (p > .5) != (ev.tile.v[i+1] > .5) {
		t.edge++
	}
	if y+1 < ev.h && (p > .5) != (ev.tile.v[i+ev.w] > .5) {
		t.edge++
	}
}

// ownSize: a size that one tile in so many has is a size, not two tiles taken for
// one; and of fewer tiles than fewTiles no usual size can be told.
const (
	ownSize  = 20
	fewTiles = 20
)

// hugeTiles says by tile number (0 for gap) how far a tile is too large to be one,
// 0…1: by how many deviations its size, on a log scale, lies above the middle of
// those that are whole.
func (m *Map) hugeTiles() []float64 {
	out := make([]float64, len(m.Tiles)+1)
	var logs []float64
	for i := range m.Tiles {
		if t := &m.Tiles[i]; !t.Cut && t.AreaPx > 0 {
			logs = append(logs, math.Log(t.AreaPx))
		}
	}
	if len(logs) < fewTiles {
		return out
	}
	// 1.48 MAD is a standard deviation; tiles cut by machine vary by less than eye
	// and camera tell.
	middle, dev := colormath.Median(logs), max(1.48*colormath.MAD(logs), .12)
	n := 0
	for i := range m.Tiles {
		if t := &m.Tiles[i]; t.AreaPx > 0 {
			if out[i+1] = ramp((math.Log(t.AreaPx)-middle)/dev, hugeGood, hugeNone); out[i+1] > 0 {
				n++
			}
		}
	}
	if n*ownSize > len(logs) {
		clear(out)
	}
	return out
}
