package contrast

import (
	"slices"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// corePx is how far inside a tile its colour is read: JPEG smears colour over
// one or two pixels, and the edge itself is bevel and shadow.
const corePx = 2

// perTile bounds the pixels read per tile; a median needs no more.
const perTile = 600

// TileColours gives every tile's own colour: the median of its core in linear
// light, channel by channel, over the local light. The median leaves glare and
// dark grains out as long as they cover less than half of the tile.
func TileColours(pic *colormath.Picture, m *segment.Map, field *light.Field, threads int) []colormath.Lab {
	out := make([]colormath.Lab, len(m.Tiles))
	colormath.Rows(len(m.Tiles), threads, func(t0, t1 int) {
		var px [3][]float64
		for i := t0; i < t1; i++ {
			t := &m.Tiles[i]
			px = core(px, pic, m, t, uint16(i+1), corePx)
			if len(px[0]) == 0 {
				px = core(px, pic, m, t, uint16(i+1), 0) // a sliver has no core
			}
			if len(px[0]) == 0 {
				continue
			}
			var c [3]float64
			for k := range c {
				slices.Sort(px[k])
				c[k] = colormath.Quantile(px[k], .5)
			}
			e := field.At(t.Centre.X, t.Centre.Y)
			out[i] = colormath.LinearRGB{R: c[0] / e.R, G: c[1] / e.G, B: c[2] / e.B}.Lab()
		}
	})
	return out
}

// core collects the tile's pixels that have the same tile d px away on all
// four sides, thinned evenly to about perTile.
func core(px [3][]float64, pic *colormath.Picture, m *segment.Map, t *segment.Tile, id uint16, d int) [3][]float64 {
	for k := range px {
		px[k] = px[k][:0]
	}
	step := 1
	for t.AreaPx/float64(step*step) > perTile {
		step++
	}
	same := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < m.W && y < m.H && m.Label[y*m.W+x] == id
	}
	for y := t.Y0; y < t.Y1; y += step {
		for x := t.X0; x < t.X1; x += step {
			if same(x, y) && same(x-d, y) && same(x+d, y) && same(x, y-d) && same(x, y+d) {
				p := pic.Pix[3*(y*pic.W+x):]
				for k := range px {
					px[k] = append(px[k], float64(p[k]))
				}
			}
		}
	}
	return px
}
