package sheet

import (
	"image"

	"gapshade/segment"
)

// What stands in a cell that holds no tile; tiles are their number, 1…
const (
	cellGap     = 0
	cellOutside = -1
)

// cells is a reduced tile map: per cell a tile number, gap or outside, and
// whether the tile ends there.
type cells struct {
	w, h int
	v    []int32
	rim  []bool
}

func (c *cells) at(x, y int) int32 { return c.v[y*c.w+x] }

// markRims finds the cells in which a tile ends: one of the eight cells round
// them, or the border of the map, is not that tile. Done once for all shades.
func (c *cells) markRims() {
	c.rim = make([]bool, len(c.v))
	for y := range c.h {
		for x := range c.w {
			v := c.at(x, y)
			c.rim[y*c.w+x] = v > 0 && c.ends(x, y, v)
		}
	}
}

func (c *cells) ends(x, y int, v int32) bool {
	if x == 0 || y == 0 || x == c.w-1 || y == c.h-1 {
		return true
	}
	for j := y - 1; j <= y+1; j++ {
		r := c.v[j*c.w+x-1 : j*c.w+x+2]
		if r[0] != v || r[1] != v || r[2] != v {
			return true
		}
	}
	return false
}

// leastSide is the smallest long side of a reduced map, px: a small photo is
// enlarged so that the legend fits.
const leastSide = 900

// gapMajority is the mean coverage from which a cell counts as gap. It is below
// one half because a joint narrower than a cell must not break up: two of 2.5
// px are seen wherever they fall.
const gapMajority = 0.4

// reduce samples the crop of a map. A cell is a gap where the covered part of
// it says so, else the tile at its middle or the first one found in it.
func reduce(m *segment.Map, crop image.Rectangle, longSide int) cells {
	long := max(crop.Dx(), crop.Dy())
	to := min(longSide, max(long, leastSide))
	c := cells{w: max(1, crop.Dx()*to/long), h: max(1, crop.Dy()*to/long)}
	c.v = make([]int32, c.w*c.h)
	in := insideRows(m, crop)
	xs, ys := overlaps(crop.Dx(), c.w), overlaps(crop.Dy(), c.h)
	for y, oy := range ys {
		for x, ox := range xs {
			box := image.Rect(ox.first, oy.first, ox.last+1, oy.last+1).Add(crop.Min)
			c.v[y*c.w+x] = cellOf(m, box, in)
		}
	}
	c.markRims()
	return c
}

// cellOf decides one cell from the pixels under it.
func cellOf(m *segment.Map, box image.Rectangle, in []bool) int32 {
	mid := (box.Min.Y+box.Max.Y)/2*m.W + (box.Min.X+box.Max.X)/2
	tile, covered := int32(m.Label[mid]), 0
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for i := y*m.W + box.Min.X; i < y*m.W+box.Max.X; i++ {
			covered += int(m.Gap[i])
			if tile == 0 {
				tile = int32(m.Label[i])
			}
		}
	}
	switch {
	case float64(covered) >= gapMajority*255*float64(box.Dx()*box.Dy()):
		return cellGap
	case tile > 0:
		return tile
	case in[mid]:
		return cellGap
	}
	return cellOutside
}

// insideRows marks the pixels of the panel.
func insideRows(m *segment.Map, crop image.Rectangle) []bool {
	in := make([]bool, m.W*m.H)
	for _, s := range m.Inside {
		if s.Y < crop.Min.Y || s.Y >= crop.Max.Y {
			continue
		}
		row := in[s.Y*m.W : (s.Y+1)*m.W]
		for x := s.X0; x < s.X1; x++ {
			row[x] = true
		}
	}
	return in
}
