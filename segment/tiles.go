package segment

import (
	"image"
	"slices"
)

// cutShare is the share of its outline along which a tile must touch the edge of
// the panel or of the picture to count as cut there. A disc cut by a twentieth of
// its radius touches along a tenth; a tile that only comes near with a corner
// touches along less (ours).
const cutShare = 0.1

// box is the tile's, as a rectangle.
func (t *Tile) box() image.Rectangle { return image.Rect(t.X0, t.Y0, t.X1, t.Y1) }

// add takes one run of pixels into the tile, with sums of places where the
// centre will be.
func (t *Tile) add(m *Map, r run) {
	var area, mx int
	for x, g := range m.Gap[r.y*m.W+r.x0 : r.y*m.W+r.x1] {
		a := 255 - int(g)
		area += a
		mx += a * (r.x0 + x)
	}
	t.AreaPx += float64(area) / 255
	t.Centre.X += float64(mx) / 255
	t.Centre.Y += float64(area) / 255 * float64(r.y)
	t.X0, t.Y0 = min(t.X0, r.x0), min(t.Y0, r.y)
	t.X1, t.Y1 = max(t.X1, r.x1), max(t.Y1, r.y+1)
}

// finish turns sums of places into the centre.
func (t *Tile) finish() {
	if t.AreaPx > 0 {
		t.Centre.X /= t.AreaPx
		t.Centre.Y /= t.AreaPx
	}
}

// giveSlivers adds the tile's share of pixels that are mostly gap to the tile
// beside them, the one that fills most of its pixel: without it tiles and gap
// would fall short of the panel by half an edge. It looks at the window's pixels
// and gives to the tiles that are fresh, by number.
func (m *Map) giveSlivers(win image.Rectangle, fresh []bool) {
	for _, s := range m.rowsOf(win) {
		for x := max(s.X0, win.Min.X); x < min(s.X1, win.Max.X); x++ {
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
			if owner > 0 && fresh[owner] {
				t, a := &m.Tiles[owner-1], 1-float64(g)/255
				t.AreaPx += a
				t.Centre.X += a * float64(x)
				t.Centre.Y += a * float64(s.Y)
			}
		}
	}
}

// contact counts the sides of a run's pixels behind which the panel or the
// picture ends.
func (m *Map) contact(r run, inside []bool) int {
	row, n := r.y*m.W, 0
	if r.x0 == 0 || !inside[row+r.x0-1] {
		n++
	}
	if r.x1 == m.W || !inside[row+r.x1] {
		n++
	}
	for _, y := range [2]int{r.y - 1, r.y + 1} {
		if y < 0 || y == m.H {
			n += r.x1 - r.x0
		} else if beside := inside[y*m.W+r.x0 : y*m.W+r.x1]; slices.Contains(beside, false) {
			for _, in := range beside {
				if !in {
					n++
				}
			}
		}
	}
	return n
}

// outlinePx counts the sides of a tile's pixels behind which the tile ends: its
// outline along the pixels, px.
func (m *Map) outlinePx(number uint16) int {
	t, n := &m.Tiles[number-1], 0
	is := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < m.W && y < m.H && m.Label[y*m.W+x] == number
	}
	for y := t.Y0; y < t.Y1; y++ {
		for x := t.X0; x < t.X1; x++ {
			if !is(x, y) {
				continue
			}
			for _, beside := range [4]bool{is(x-1, y), is(x+1, y), is(x, y-1), is(x, y+1)} {
				if !beside {
					n++
				}
			}
		}
	}
	return n
}

// gapIn adds up the coverage of a window, 255 for a pixel of gap.
func (m *Map) gapIn(win image.Rectangle) (sum uint64) {
	for _, s := range m.rowsOf(win) {
		x0, x1 := max(s.X0, win.Min.X), min(s.X1, win.Max.X)
		if x0 >= x1 {
			continue
		}
		for _, g := range m.Gap[s.Y*m.W+x0 : s.Y*m.W+x1] {
			sum += uint64(g)
		}
	}
	return sum
}
