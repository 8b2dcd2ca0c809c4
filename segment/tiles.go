package segment

import (
	"cmp"
	"slices"
)

// maxTiles is what a 16-bit picture of tile numbers can hold.
const maxTiles = 65535

// label numbers the tiles in reading order of their first pixel and measures
// them. Pieces below the speck limit are given back to the gap.
func (m *Map) label() {
	inside := make([]bool, m.W*m.H)
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			inside[s.Y*m.W+x] = true
		}
	}
	runs, n := components(m.W, m.H, func(i int) bool { return inside[i] && m.Gap[i] < 128 })
	size := areas(runs, n)
	number := numbered(size)
	m.Label = make([]uint16, m.W*m.H)
	m.Tiles = make([]Tile, slices.Max(number))
	for i := range m.Tiles {
		m.Tiles[i] = Tile{X0: m.W, Y0: m.H}
	}
	for _, r := range runs {
		k := number[r.id]
		row := r.y * m.W
		for x := r.x0; x < r.x1; x++ {
			if k == 0 {
				m.Gap[row+x] = 255
			} else {
				m.Label[row+x] = uint16(k)
			}
		}
		if k > 0 {
			m.Tiles[k-1].add(m, r, inside)
		}
	}
	m.finish()
}

// numbered gives each component its tile number, 0 for specks. Should there be
// more pieces than numbers, the smallest go.
func numbered(size []int) []int {
	speck := speckLimit(size[1:])
	if len(size)-1 > maxTiles {
		s := slices.Clone(size[1:])
		slices.SortFunc(s, func(a, b int) int { return cmp.Compare(b, a) })
		speck = max(speck, s[maxTiles-1]+1)
	}
	number := make([]int, len(size))
	k := 0
	for id := 1; id < len(size); id++ {
		if size[id] >= speck {
			k++
			number[id] = k
		}
	}
	return number
}

// add takes one run of pixels into the tile.
func (t *Tile) add(m *Map, r run, inside []bool) {
	row := r.y * m.W
	for x := r.x0; x < r.x1; x++ {
		a := 1 - float64(m.Gap[row+x])/255
		t.AreaPx += a
		t.Centre.X += a * float64(x)
		t.Centre.Y += a * float64(r.y)
		if !t.Cut && (r.y == 0 || r.y == m.H-1 || !inside[row+x-m.W] || !inside[row+x+m.W]) {
			t.Cut = true
		}
	}
	if r.x0 == 0 || r.x1 == m.W || !inside[row+r.x0-1] || !inside[row+r.x1] {
		t.Cut = true
	}
	t.X0, t.Y0 = min(t.X0, r.x0), min(t.Y0, r.y)
	t.X1, t.Y1 = max(t.X1, r.x1), max(t.Y1, r.y+1)
}

// finish turns sums into centres and adds the gap up.
func (m *Map) finish() {
	for i := range m.Tiles {
		t := &m.Tiles[i]
		if t.AreaPx > 0 {
			t.Centre.X /= t.AreaPx
			t.Centre.Y /= t.AreaPx
		}
	}
	var gap uint64
	for _, s := range m.Inside {
		for _, g := range m.Gap[s.Y*m.W+s.X0 : s.Y*m.W+s.X1] {
			gap += uint64(g)
		}
	}
	if m.PanelPx > 0 {
		m.GapShare = float64(gap) / 255 / m.PanelPx
	}
}
