package segment

// plainCells says which cells of the view, the squares between four of its pixels,
// are tile or gap through and through, and so are the eight cells round them: most
// of a photo is the middle of tiles and gaps, where nothing has to be read between
// pixels, and no edge is near enough to be settled into it (mostShift is under one).
type plainCells struct {
	ev    *evidence
	least float32        // tile coverage from which on a pixel is drawn as tile alone
	row   int            // of the view, whose cells stand in cell; −1 at first
	kinds [3][]plainness // of the rows above, at and below it
	cell  []plainness
}

// plainness is what a cell is.
type plainness uint8

const (
	notPlain plainness = iota
	allTile
	allGap
)

// coverage is what a plain cell's pixels get in Map.Gap.
func (p plainness) coverage() uint8 {
	if p == allGap {
		return 255
	}
	return 0
}

func newPlainCells(ev *evidence, steep float32) *plainCells {
	p := &plainCells{ev: ev, least: .5 + .5/steep, row: -1, cell: make([]plainness, max(ev.w-1, 0))}
	for i := range p.kinds {
		p.kinds[i] = make([]plainness, len(p.cell))
	}
	return p
}

// at gives the cells at a height of the view, each reaching from its number to the
// next; none near the upper and the lower border.
func (p *plainCells) at(y float64) []plainness {
	j := int(max(y, 0))
	if j < 1 || j+2 >= p.ev.h {
		return nil
	}
	if j == p.row {
		return p.cell
	}
	p.row = j
	for k := range p.kinds {
		p.classify(j-1+k, p.kinds[k])
	}
	above, here, below := p.kinds[0], p.kinds[1], p.kinds[2]
	clear(p.cell)
	for c := 1; c+1 < len(here); c++ {
		k := here[c]
		if k != notPlain && above[c-1] == k && above[c] == k && above[c+1] == k && here[c-1] == k &&
			here[c+1] == k && below[c-1] == k && below[c] == k && below[c+1] == k {
			p.cell[c] = k
		}
	}
	return p.cell
}

// classify looks at the cells between two rows of the view.
func (p *plainCells) classify(j int, out []plainness) {
	w := p.ev.w
	top, low := p.ev.tile.v[j*w:(j+1)*w], p.ev.tile.v[(j+1)*w:(j+2)*w]
	for c := range out {
		least := min(top[c], top[c+1], low[c], low[c+1])
		most := max(top[c], top[c+1], low[c], low[c+1])
		switch {
		case least >= p.least:
			out[c] = allTile
		case most <= 1-p.least:
			out[c] = allGap
		default:
			out[c] = notPlain
		}
	}
}
