package contrast

import (
	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// corePx is how far inside a tile its colour is read: JPEG smears colour over
// one or two pixels, and the edge itself is bevel and shadow.
const corePx = 2

// perTile bounds the pixels read per tile. Whole steps make them a quarter as many
// at the least: grain of 5 % then leaves 0.6 % in the median, 0.2 of L*.
const perTile = 400

// A pixel is burnt out when all its channels are at the photo's white, linear:
// 8-bit 251. One channel alone may be a bright tile's own colour. From mostlyBurnt
// of its pixels on, what is left of a tile lies in the glare's own margin (ours).
const (
	burntAt     = 0.96
	mostlyBurnt = 0.5
)

// TileColours gives every tile's own colour: the median of its core in linear
// light, channel by channel, over the local light. Burnt-out pixels are left out,
// and the median leaves out softer glare and dark grains as long as they cover
// less than half of the rest. A tile that is mostly burnt out has lost its
// colour: its place in burnt is true, and what is given is the glare.
//
// The middle of the shortest half of the pixels would stand even more glare; it
// was no better on path-traced panels and noisier on grain.
func TileColours(pic *colormath.Picture, m *segment.Map, field *light.Field, threads int) (colours []colormath.Lab, burnt []bool) {
	return coreColours(pic, m, field, corePx, threads)
}

// DeeperColours are the same, read one pixel further in; see NewDoubt.
func DeeperColours(pic *colormath.Picture, m *segment.Map, field *light.Field, threads int) []colormath.Lab {
	colours, _ := coreColours(pic, m, field, corePx+1, threads)
	return colours
}

func coreColours(pic *colormath.Picture, m *segment.Map, field *light.Field, d, threads int) (colours []colormath.Lab, burnt []bool) {
	colours, burnt = make([]colormath.Lab, len(m.Tiles)), make([]bool, len(m.Tiles))
	colormath.Rows(len(m.Tiles), threads, func(t0, t1 int) {
		var c coreSamples
		for i := t0; i < t1; i++ {
			t := &m.Tiles[i]
			c.gather(pic, m, t, uint16(i+1), d)
			if c.clean+c.burnt == 0 {
				c.gather(pic, m, t, uint16(i+1), 0) // a sliver has no core
			}
			if c.clean+c.burnt == 0 {
				continue
			}
			v := c.middle()
			e := field.At(t.Centre.X, t.Centre.Y)
			colours[i] = colormath.LinearRGB{R: v[0] / e.R, G: v[1] / e.G, B: v[2] / e.B}.Lab()
			burnt[i] = float64(c.burnt) > mostlyBurnt*float64(c.clean+c.burnt)
		}
	})
	return colours, burnt
}

// coreSamples is the pixels of one core, channel by channel.
type coreSamples struct {
	px           [3][]float64 // the clean ones
	clean, burnt int
}

// gather collects the tile's pixels that have the same tile d px away on all
// four sides, thinned evenly to about perTile.
func (c *coreSamples) gather(pic *colormath.Picture, m *segment.Map, t *segment.Tile, id uint16, d int) {
	for k := range c.px {
		c.px[k] = c.px[k][:0]
	}
	c.clean, c.burnt = 0, 0
	step := 1
	for t.AreaPx/float64(step*step) > perTile {
		step++
	}
	same := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < m.W && y < m.H && m.Label[y*m.W+x] == id
	}
	for y := t.Y0; y < t.Y1; y += step {
		for x := t.X0; x < t.X1; x += step {
			if !same(x, y) || !same(x-d, y) || !same(x+d, y) || !same(x, y-d) || !same(x, y+d) {
				continue
			}
			p := pic.Pix[3*(y*pic.W+x):]
			if min(p[0], p[1], p[2]) >= burntAt {
				c.burnt++
				continue
			}
			c.clean++
			for k := range c.px {
				c.px[k] = append(c.px[k], float64(p[k]))
			}
		}
	}
}

// middle is the median of the clean pixels; white where there are none.
func (c *coreSamples) middle() (v [3]float64) {
	for k := range v {
		if v[k] = 1; c.clean > 0 {
			v[k] = colormath.QuantileIn(c.px[k], .5)
		}
	}
	return v
}
