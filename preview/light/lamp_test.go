package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
	"gapshade/segment"
)

// pane is a row of lamps over the panel at the same height, seen under directions
// that differ a little: a window by its own geometry, without the formulas of Lit.
type pane struct {
	angle, reach, wide float64    // towards it, degrees; shadow over height; spread of the shadow's length
	share              [3]float64 // of the light, by channel; the rest comes from an even sky
}

const tileHeight = 12.0 // px

// photographed is a panel of such tiles under the window: from each bed pixel it
// looks at every part of the window and at the sky in 48 directions.
func (w pane) photographed() (*colormath.Picture, *segment.Map) {
	bed := colormath.Lab{L: 80}.LinearRGB()
	even := func(float64, float64) colormath.LinearRGB { return colormath.LinearRGB{R: 1, G: 1, B: 1} }
	pic, m := drawn{light: even, bed: bed, tile: colormath.Lab{L: 40}.LinearRGB(), gap: 14}.draw()
	for y := 2; y < drawnH-2; y++ {
		for x := 2; x < drawnW-2; x++ {
			if m.Label[y*drawnW+x] > 0 {
				continue
			}
			c := pic.At(x, y)
			lamp, sky := w.seen(m, x, y), skySeen(m, x, y)
			k := func(c int) float64 { return w.share[c]*lamp + (1-w.share[c])*sky }
			pic.Set(x, y, colormath.LinearRGB{R: k(0) * c.R, G: k(1) * c.G, B: k(2) * c.B})
		}
	}
	return pic, m
}

// seen is the share of the window that a place sees.
func (w pane) seen(m *segment.Map, x, y int) float64 {
	n := 0.0
	for i := range 15 {
		length := tileHeight * w.reach * (1 + w.wide*(float64(i)-7)/7)
		if clear(m, x, y, w.angle, length) {
			n++
		}
	}
	return n / 15
}

// clear says whether no tile stands within a distance in a direction.
func clear(m *segment.Map, x, y int, degrees, far float64) bool {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for d := .5; d < far; d += .5 {
		i, j := int(math.Round(float64(x)+d*cos)), int(math.Round(float64(y)+d*sin))
		if i >= 0 && j >= 0 && i < m.W && j < m.H && m.Label[j*m.W+i] > 0 {
			return false
		}
	}
	return true
}

// skySeen counts what an even sky gives: directions round times steps of equal
// light, which are equal steps of the squared sine of the elevation.
func skySeen(m *segment.Map, x, y int) float64 {
	n := 0.0
	for a := range 12 {
		for e := range 4 {
			sq := (float64(e) + .5) / 4
			if clear(m, x, y, float64(a)*30, min(tileHeight*math.Sqrt((1-sq)/sq), 60)) {
				n++
			}
		}
	}
	return n / 48
}

// The lamp is read back from its shadows: where it stands to one step of the search,
// 15°; how far its shadows fall to a third (the steps of the search are that large);
// its share of the light to .15 in each channel.
func TestLampIsReadFromShadows(t *testing.T) {
	for name, w := range map[string]pane{
		"window at the upper left": {angle: 210, reach: 1.2, wide: .5, share: [3]float64{.62, .6, .52}},
		"lamp at the right":        {angle: 0, reach: .6, wide: .15, share: [3]float64{.8, .8, .8}},
		"low window below":         {angle: 97, reach: 1.6, wide: .4, share: [3]float64{.5, .5, .5}},
	} {
		pic, m := w.photographed()
		bed := colormath.Lab{L: 80}.LinearRGB()
		l := ReadLamp(pic, m, Measure(pic, m, &bed, 0), tileHeight, 0)
		apart := math.Mod(math.Atan2(l.Y, l.X)*180/math.Pi-w.angle+540, 360) - 180
		assert.InDelta(t, 0, apart, 15.01, name)
		assert.InDelta(t, 1, l.Reach/w.reach, .35, name)
		assert.InDeltaSlice(t, w.share[:], l.Share[:], .15, name)
		assert.Equal(t, l, ReadLamp(pic, m, Measure(pic, m, &bed, 0), tileHeight, 1), "threads")
	}
}

// Under an even sky no lamp is found, nor where there are no shadows at all, nor by
// the shadows of tiles that are flat.
func TestNoLampNoShadow(t *testing.T) {
	bed := colormath.Lab{L: 80}.LinearRGB()
	pic, m := pane{}.photographed()
	assert.Zero(t, ReadLamp(pic, m, Measure(pic, m, &bed, 0), tileHeight, 0), "sky alone")
	even := func(float64, float64) colormath.LinearRGB { return colormath.LinearRGB{R: 1, G: 1, B: 1} }
	pic, m = drawn{light: even, bed: bed, tile: colormath.Lab{L: 40}.LinearRGB()}.draw()
	assert.Zero(t, ReadLamp(pic, m, Measure(pic, m, &bed, 0), tileHeight, 0), "no shadows")
	assert.Zero(t, ReadLamp(pic, m, Measure(pic, m, &bed, 0), 0, 0), "no height")
}

// At its edge a shadow is half, without a lamp's width in between it is all or
// nothing, and twice as deep it falls twice as far.
func TestLit(t *testing.T) {
	l := Lamp{X: 1, Reach: .5, Soft: .2}
	assert.InDelta(t, .5, l.Lit(4, 8), 1e-12)
	assert.Less(t, l.Lit(1, 8), .01)
	assert.Greater(t, l.Lit(7, 8), .99)
	assert.InDelta(t, l.Lit(3, 8), l.Lit(6, 16), 1e-12)
	assert.Greater(t, l.Lit(l.Far(8), 8), .999)
}
