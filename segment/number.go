package segment

import (
	"cmp"
	"image"
	"slices"

	"gapshade/colormath"
)

// maxTiles is what a 16-bit picture of tile numbers can hold.
const maxTiles = 65535

// number finds the tiles inside a window anew, measures them and numbers all
// tiles in reading order of their first pixel. gone[k] says that the old tile k
// lies in the window and is to be found again; all others keep what is known of
// them. Pieces below the speck limit are given to the gap, unless a stroke says
// that they are tile. It reports false, with nothing changed, when there would be
// more tiles than numbers and the window is not the whole picture.
func (a *Analysis) number(win image.Rectangle, gone []bool) bool {
	m := a.m
	runs, n := componentsIn(m.W, win, func(i int) bool {
		return a.inside[i] && m.Gap[i] < 128 && (m.Label[i] == 0 || gone[m.Label[i]])
	})
	size := areas(runs, n)
	keep := a.kept(runs, size)
	others := len(m.Tiles) - count(gone)
	if over := count(keep) + others - maxTiles; over > 0 {
		if others > 0 {
			return false
		}
		dropSmallest(keep, size, over)
		a.crowded = true
	}
	old, found := a.order(runs, keep, gone)
	a.renumber(win, old)
	a.fill(win, runs, found)
	return true
}

// kept says which components are tiles. The limit is read off the photo once, so
// that a stroke in one corner drops no piece in another.
func (a *Analysis) kept(runs []run, size []int) []bool {
	if a.speck == 0 {
		a.speck = speckLimit(size[1:])
	}
	keep := make([]bool, len(size))
	for id := 1; id < len(size); id++ {
		keep[id] = size[id] >= a.speck
	}
	for _, r := range runs {
		keep[r.id] = keep[r.id] || a.paintedTile(r)
	}
	return keep
}

// dropSmallest takes the n smallest out of what is kept, and of equals the last.
func dropSmallest(keep []bool, size []int, n int) {
	var ids []int
	for id, k := range keep {
		if k {
			ids = append(ids, id)
		}
	}
	slices.SortStableFunc(ids, func(a, b int) int { return cmp.Compare(size[b], size[a]) })
	for _, id := range ids[len(ids)-n:] {
		keep[id] = false
	}
}

func count(set []bool) (n int) {
	for _, v := range set {
		if v {
			n++
		}
	}
	return n
}

// order merges old tiles and new components by their first pixels. It makes the
// new list of tiles and returns the new number of every old tile and of every
// component, 0 for those that are none.
func (a *Analysis) order(runs []run, keep, gone []bool) (old, found []uint16) {
	m := a.m
	old, found = make([]uint16, len(m.Tiles)+1), make([]uint16, len(keep))
	var tiles []Tile
	var first []int32
	take := func(t Tile, at int32) uint16 {
		tiles, first = append(tiles, t), append(first, at)
		return uint16(len(tiles))
	}
	k := 1
	takeOld := func(until int32) {
		for ; k <= len(m.Tiles) && a.first[k-1] < until; k++ {
			if !gone[k] {
				old[k] = take(m.Tiles[k-1], a.first[k-1])
			}
		}
	}
	for _, r := range runs { // a component's first run holds its first pixel
		if !keep[r.id] || found[r.id] > 0 {
			continue
		}
		at := int32(r.y*m.W + r.x0)
		takeOld(at)
		found[r.id] = take(Tile{X0: m.W, Y0: m.H}, at)
	}
	takeOld(int32(m.W * m.H))
	m.Tiles, a.first = tiles, first
	return old, found
}

// renumber puts the new numbers of old tiles in the place of the old ones; the
// whole picture is gone through only when one outside the window has changed.
func (a *Analysis) renumber(win image.Rectangle, old []uint16) {
	m := a.m
	for k, n := range old {
		if n > 0 && int(n) != k {
			win = image.Rect(0, 0, m.W, m.H)
			break
		}
	}
	colormath.Rows(win.Dy(), a.threads, func(y0, y1 int) {
		for y := win.Min.Y + y0; y < win.Min.Y+y1; y++ {
			row := m.Label[y*m.W+win.Min.X : y*m.W+win.Max.X]
			for x, l := range row {
				if l > 0 {
					row[x] = old[l]
				}
			}
		}
	})
	a.faces.renumber(old)
}

// fill writes the found components into the map and measures them.
func (a *Analysis) fill(win image.Rectangle, runs []run, found []uint16) {
	m := a.m
	fresh, contact := make([]bool, len(m.Tiles)+1), make([]int, len(m.Tiles)+1)
	specks := make([]image.Rectangle, len(found))
	for _, r := range runs {
		k := found[r.id]
		if k == 0 {
			for i := r.y*m.W + r.x0; i < r.y*m.W+r.x1; i++ {
				m.Gap[i] = 255
			}
			specks[r.id] = specks[r.id].Union(image.Rect(r.x0, r.y, r.x1, r.y+1))
			continue
		}
		for i := r.y*m.W + r.x0; i < r.y*m.W+r.x1; i++ {
			m.Label[i] = k
		}
		m.Tiles[k-1].add(m, r)
		fresh[k] = true
		contact[k] += m.contact(r, a.inside)
	}
	for _, s := range specks {
		if !s.Empty() {
			a.specks = append(a.specks, s)
		}
	}
	m.giveSlivers(win.Inset(-1).Intersect(image.Rect(0, 0, m.W, m.H)), fresh)
	for k, f := range fresh {
		if f {
			t := &m.Tiles[k-1]
			t.finish()
			t.Cut = contact[k] > 0 && float64(contact[k]) >= cutShare*float64(m.outlinePx(uint16(k)))
		}
	}
}
