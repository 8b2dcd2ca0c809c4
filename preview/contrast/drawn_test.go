package contrast

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// drawing is a panel as arithmetic: at gives the tile at a place, 0 for the joint.
type drawing struct {
	w, h int // px
	at   func(x, y float64) int
	gap  float64 // px
}

// draw makes the map: tiles, coverage from 4 × 4 places per pixel, and as borders
// the pairs that face each other within two gaps along a row or a column.
func (d drawing) draw() *segment.Map {
	m := &segment.Map{W: d.w, H: d.h, Gap: make([]uint8, d.w*d.h), Label: make([]uint16, d.w*d.h),
		Panel:      segment.Quad{{X: 0, Y: 0}, {X: float64(d.w), Y: 0}, {X: float64(d.w), Y: float64(d.h)}, {X: 0, Y: float64(d.h)}},
		GapWidthPx: colormath.Spread{P10: d.gap, P50: d.gap, P90: d.gap}, PanelPx: float64(d.w * d.h)}
	joint, number := 0.0, map[int]int{0: 0} // tiles are numbered anew, without blanks
	for y := range d.h {
		m.Inside = append(m.Inside, segment.Span{Y: y, X1: d.w})
		for x := range d.w {
			m.Gap[y*d.w+x] = d.cover(x, y)
			joint += float64(m.Gap[y*d.w+x]) / 255
			if id := d.at(float64(x), float64(y)); id > 0 && m.Gap[y*d.w+x] < 128 {
				if number[id] == 0 {
					number[id] = len(number)
				}
				m.Label[y*d.w+x] = uint16(number[id])
				d.add(m, number[id], x, y)
			}
		}
	}
	m.GapShare = joint / m.PanelPx
	for i := range m.Tiles {
		t := &m.Tiles[i]
		t.Centre.X, t.Centre.Y = t.Centre.X/t.AreaPx, t.Centre.Y/t.AreaPx
	}
	d.border(m)
	return m
}

func (d drawing) cover(x, y int) uint8 {
	n := 0
	for k := range 16 {
		if d.at(float64(x)+float64(k%4)/4-.375, float64(y)+float64(k/4)/4-.375) == 0 {
			n++
		}
	}
	return uint8(n * 255 / 16)
}

func (d drawing) add(m *segment.Map, id, x, y int) {
	for len(m.Tiles) < id {
		m.Tiles = append(m.Tiles, segment.Tile{X0: d.w, Y0: d.h})
	}
	t := &m.Tiles[id-1]
	t.AreaPx++
	t.Centre.X, t.Centre.Y = t.Centre.X+float64(x), t.Centre.Y+float64(y)
	t.X0, t.Y0, t.X1, t.Y1 = min(t.X0, x), min(t.Y0, y), max(t.X1, x+1), max(t.Y1, y+1)
}

func (d drawing) border(m *segment.Map) {
	length := map[[2]int]int{}
	reach := int(math.Ceil(2 * d.gap))
	look := func(at, step, left int) {
		a := m.Label[at]
		if a == 0 || left < 1 || m.Label[at+step] == a {
			return
		}
		for k := 1; k <= min(reach, left); k++ {
			if b := m.Label[at+k*step]; b == a {
				return
			} else if b > 0 {
				length[[2]int{int(min(a, b)), int(max(a, b))}]++
				return
			}
		}
	}
	for y := range d.h {
		for x := range d.w {
			look(y*d.w+x, 1, d.w-1-x)
			look(y*d.w+x, d.w, d.h-1-y)
		}
	}
	for a := 1; a <= len(m.Tiles); a++ {
		for b := a + 1; b <= len(m.Tiles); b++ {
			if l := length[[2]int{a, b}]; float64(l) > d.gap {
				m.Borders = append(m.Borders, segment.Border{A: a, B: b, Length: l, WidthPx: d.gap})
			}
		}
	}
}

// courses draws courses of tiles, cols by rows, wide and high pitch px; every second
// course is moved by shift of a tile.
func courses(cols, rows int, wide, high, gap, shift float64) drawing {
	return drawing{w: int(float64(cols) * wide), h: int(float64(rows) * high), gap: gap, at: func(x, y float64) int {
		x, y = x+.5, y+.5
		row := int(math.Floor(y / high))
		at := x
		if row%2 == 1 {
			at += shift * wide
		}
		col := int(math.Floor(at / wide))
		if fx, fy := at-float64(col)*wide, y-float64(row)*high; fx < gap/2 || fx > wide-gap/2 || fy < gap/2 || fy > high-gap/2 {
			return 0
		}
		return row*(cols+1) + col + 1
	}}
}

// honeycomb draws six-sided tiles: every place belongs to the nearest point of a
// triangular lattice, and is joint where the second nearest is hardly farther.
func honeycomb(cols, rows int, pitch, gap float64) drawing {
	high := pitch * math.Sqrt(3) / 2
	return drawing{w: int(float64(cols) * pitch), h: int(float64(rows) * high), gap: gap, at: func(x, y float64) int {
		best, second, id := math.Inf(1), math.Inf(1), 0
		for r := int(y/high) - 1; r <= int(y/high)+1; r++ {
			for c := int(x/pitch) - 1; c <= int(x/pitch)+1; c++ {
				px, py := (float64(c)+.5+.5*float64(r&1))*pitch, (float64(r)+.5)*high
				switch d := math.Hypot(x-px, y-py); {
				case d < best:
					best, second, id = d, best, (r+1)*(cols+3)+c+2
				case d < second:
					second = d
				}
			}
		}
		if second-best < gap*1.15 { // the difference grows by 2 cos 30° per px at right angles
			return 0
		}
		return id
	}}
}

// flat gives every tile one colour.
func flat(m *segment.Map, c func(tile int) colormath.Lab) []colormath.Lab {
	out := make([]colormath.Lab, len(m.Tiles))
	for i := range out {
		out[i] = c(i + 1)
	}
	return out
}

func always(c colormath.Lab) func(int) colormath.Lab { return func(int) colormath.Lab { return c } }
