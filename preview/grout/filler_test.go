package grout

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/preview/light"
	"gapshade/segment"
)

// mark opens (gap 255, no tile) or closes (gap 0, tile) a box of the map.
func mark(m *segment.Map, box image.Rectangle, gap uint8, tile uint16) {
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			m.Gap[y*m.W+x], m.Label[y*m.W+x] = gap, tile
		}
	}
}

// takeOut takes a box out of the panel, at its left side.
func takeOut(m *segment.Map, box image.Rectangle) {
	for i, s := range m.Inside {
		if s.Y >= box.Min.Y && s.Y < box.Max.Y {
			m.Inside[i].X0 = max(s.X0, box.Max.X)
		}
	}
	mark(m, image.Rect(drawnPanelX, box.Min.Y, box.Max.X, box.Max.Y), 0, 0)
}

const drawnPanelX = 12

// What is renewed after a change of the map is what a new fill would be, to the last
// bit, wherever the change lies and the lamp stands.
func TestRenewedIsNew(t *testing.T) {
	d := drawn{tile: cream, bed: paper, gap: upright(7.4, 30), light: bright, noise: 2}
	changes := map[string]struct {
		box image.Rectangle
		do  func(m *segment.Map)
	}{
		"a tile is opened":      {image.Rect(60, 50, 90, 58), func(m *segment.Map) { mark(m, image.Rect(60, 50, 90, 58), 255, 0) }},
		"a joint is closed":     {image.Rect(70, 30, 96, 61), func(m *segment.Map) { mark(m, image.Rect(70, 30, 96, 61), 0, 1) }},
		"the first rows":        {image.Rect(12, 10, 148, 14), func(m *segment.Map) { mark(m, image.Rect(12, 10, 148, 14), 255, 0) }},
		"the last rows":         {image.Rect(40, 104, 60, 110), func(m *segment.Map) { mark(m, image.Rect(40, 104, 60, 110), 255, 0) }},
		"a corner is taken out": {image.Rect(12, 60, 44, 110), func(m *segment.Map) { takeOut(m, image.Rect(0, 60, 44, 110)) }},
		"a hair":                {image.Rect(50, 77, 110, 78), func(m *segment.Map) { mark(m, image.Rect(50, 77, 110, 78), 128, 0) }},
	}
	joints := map[string]Joint{
		"flush": {}, "clear": {DepthPx: 2, HeightPx: 9, Bed: paper, Clear: true}, "plain": {DepthPx: 6},
	}
	for k := range 8 {
		sin, cos := math.Sincos(float64(k)*math.Pi/4 + .1)
		joints["lamp "+string(rune('0'+k))] = Joint{DepthPx: 2 + float64(k%3)*2, GrainPx: 1.5, Seed: 7,
			Lamp: light.Lamp{X: cos, Y: sin, Reach: 1.3, Soft: .3, Share: [3]float64{.6, .5, .4}}}
	}
	for change, c := range changes {
		for name, j := range joints {
			base, pic, m := d.draw()
			f := newFill(base, pic, m, light.Even(d.light), j, 2)
			before := f.Draw(Palette()[5], Cured).Pix
			c.do(m)
			f.Renew(c.box)
			want := newFill(base, pic, m, light.Even(d.light), j, 1)
			assert.Equal(t, want.rows, f.rows, "%s, %s", change, name)
			assert.Equal(t, want.joint, f.joint, "%s, %s", change, name)
			assert.Equal(t, want.edge, f.edge, "%s, %s", change, name)
			assert.Equal(t, want.Draw(Palette()[5], Cured).Pix, f.Draw(Palette()[5], Cured).Pix, "%s, %s", change, name)
			assert.NotEqual(t, before, f.Draw(Palette()[5], Cured).Pix, "%s, %s: nothing has changed", change, name)
		}
	}
}

// The light of a change reaches beyond its rows: were only those renewed, it would show.
func TestRenewReachesFarEnough(t *testing.T) {
	d := drawn{tile: cream, bed: paper, gap: upright(7.4, 30), light: bright}
	j := Joint{DepthPx: 4, Lamp: light.Lamp{Y: -1, Reach: 1.5, Soft: .3, Share: [3]float64{.7, .7, .7}}}
	_, pic, m := d.draw()
	r := newRecess(pic, m, j.DepthPx, j.Lamp, 1)
	lit := func(y int) (out [][3]float32) {
		b := row{}
		r.row(y, &b)
		for x := range m.W {
			out = append(out, b.on(x, [3]float32{1, 1, 1}))
		}
		return out
	}
	before := lit(64)
	mark(m, image.Rect(76, 50, 84, 60), 0, 1) // a tile stands in the joint
	seen := r.renew(image.Rect(76, 50, 84, 60))
	assert.NotEqual(t, before, lit(64), "it throws its shadow four rows further down")
	assert.LessOrEqual(t, seen.Min.Y, 50)
	assert.Greater(t, seen.Max.Y, 64)
}
