package grout

import (
	"image"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// What lies under a tile that lets light pass, once it is set: near its edges the
// grout, further in the adhesive. Glass is set in white adhesive, so that its
// colour stays clear (common practice, no source; L* as fine white cement's).
var adhesive = colormath.Lab{L: 90}

// clearGuess is the share of the bed's light that passes a tile of which nobody
// measured it (ours; a guess, and said to be one).
const clearGuess = 0.3

// through is what see-through tiles show of what lies under them.
type through struct {
	m     *segment.Map
	clear bool
	sigma float64    // of open, px
	light [3]float32 // in the middle of the panel
	bed   [3]float32 // as the photo shows it there
	under [3]float32 // the adhesive there
	open  *grid      // share of grout in what is seen under a tile
}

// newThrough prepares the tiles that let light pass; nil when there are none.
func newThrough(m *segment.Map, field *light.Field, lit [3]float32, j Joint, threads int) *through {
	if m.Through == nil && !j.Clear {
		return nil
	}
	a := adhesive.LinearRGB()
	t := &through{m: m, clear: j.Clear, light: lit}
	t.bed = [3]float32{float32(j.Bed.R), float32(j.Bed.G), float32(j.Bed.B)}
	t.under = [3]float32{lit[0] * float32(a.R), lit[1] * float32(a.G), lit[2] * float32(a.B)}
	t.sigma = max(j.HeightPx/2, 1)
	t.open = newGrid(m, max(1, int(t.sigma/2)))
	t.renew(image.Rect(0, 0, m.W, m.H), threads)
	return t
}

// renew measures again what a box of the map has a part in, and gives the box of the
// picture where see-through tiles may look otherwise.
func (t *through) renew(box image.Rectangle, threads int) image.Rectangle {
	if t == nil {
		return box
	}
	near := t.open.reached(box, 3*t.sigma+float64(t.open.step))
	share := open(t.m)
	soften([]*grid{t.open}, t.m, near, t.sigma, threads, func(x0, y0, x1, y1 int, out []float32) { out[0] = share(x0, y0, x1, y1) })
	return t.open.seenFrom(near)
}

// share is how much of the light from below passes at a pixel of the map.
func (t *through) share(i int) float32 {
	switch {
	case t == nil || t.m.Label[i] == 0:
		return 0
	case t.m.Through != nil:
		return float32(t.m.Through[i]) / 255
	case t.clear:
		return clearGuess
	}
	return 0
}

// pixel is a tile pixel p with grout and adhesive in the bed's place:
//
//	p + share·level·(open·grout + (1−open)·adhesive − bed)
//
// written as a mixed pixel, whose share of grout is share·open.
func (t *through) pixel(p [3]float32, x, y int, level float32) edgePixel {
	s, open := t.share(y*t.m.W+x), t.open.at(float64(x), float64(y))
	e := edgePixel{x: uint16(x), gap: s * open}
	for c := range p {
		e.tile[c] = max(p[c]+s*level*((1-open)*t.under[c]-t.bed[c]), 0) / (1 - e.gap)
		e.level[c] = uint16(min(level*levelStep+.5, levels-1))
	}
	return e
}
