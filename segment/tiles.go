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
	m.giveSlivers()
	m.finish()
}

// giveSlivers adds the tile's share of pixels that are mostly gap to the tile
// beside them, the one that fills most of its pixel: without it tiles and gap
// would fall short of the panel by half an edge.
func (m *Map) giveSlivers() {
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			i := s.Y*m.W + x
			g := m.Gap[i]
			if g < 128 || g == 255 {
				continue
			}
			best, owner := uint8(255), uint16(0)
			look := func(k int, there bool) {
				if there && m.Label[k] > 0 && m.Gap[k] < best {
					best, owner = m.Gap[k], m.Label[k]
				}
			}
			look(i-1, x > 0)
			look(i+1, x+1 < m.W)
			look(i-m.W, s.Y > 0)
			look(i+m.W, s.Y+1 < m.H)
			if owner > 0 {
				t, a := &m.Tiles[owner-1], 1-float64(g)/255
				t.AreaPx += a
				t.Centre.X += a * float64(x)
				t.Centre.Y += a * float64(s.Y)
			}
		}
	}
}

// numbered gives each component its tile number, 0 for specks. Should there be
// more pieces than numbers, the smallest go, and of equals the last.
func numbered(size []int) []int {
	speck := speckLimit(size[1:])
	kept := make([]int, 0, len(size))
	for id := 1; id < len(size); id++ {
		if size[id] >= speck {
			kept = append(kept, id)
		}
	}
	if len(kept) > maxTiles {
		slices.SortStableFunc(kept, func(a, b int) int { return cmp.Compare(size[b], size[a]) })
		kept = kept[:maxTiles]
		slices.Sort(kept)
	}
	number := make([]int, len(size))
	for k, id := range kept {
		number[id] = k + 1
	}
	return number
}

// add takes one run of pixels into the tile; finish turns the weighted sums of
// places into a centre.
func (t *Tile) add(m *Map, r run, inside []bool) {
	row := r.y * m.W
	var area, mx int
	for x, g := range m.Gap[row+r.x0 : row+r.x1] {
		a := 255 - int(g)
		area += a
		mx += a * (r.x0 + x)
	}
	t.AreaPx += float64(area) / 255
	t.Centre.X += float64(mx) / 255
	t.Centre.Y += float64(area) / 255 * float64(r.y)
	t.Cut = t.Cut || r.y == 0 || r.y == m.H-1 || r.x0 == 0 || r.x1 == m.W ||
		!inside[row+r.x0-1] || !inside[row+r.x1] ||
		!all(inside[row-m.W+r.x0:row-m.W+r.x1]) || !all(inside[row+m.W+r.x0:row+m.W+r.x1])
	t.X0, t.Y0 = min(t.X0, r.x0), min(t.Y0, r.y)
	t.X1, t.Y1 = max(t.X1, r.x1), max(t.Y1, r.y+1)
}

func all(v []bool) bool { return !slices.Contains(v, false) }

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
