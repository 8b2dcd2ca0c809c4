package grout

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
	"gapshade/preview/light"
)

// A damp joint reads back as the film of water predicts: the light shades of the
// palette fall to L* 75.2, the mid ones to 47.7, the dark ones to 25.0 (the table of
// the palette's wet looks, worked with n 1.333 over grains of 1.5). Enhanced, n 1.45,
// is darker still, and cured is the shade itself.
func TestStatesReadBack(t *testing.T) {
	f, _, _ := drawn{tile: slate, bed: paper, gap: upright(60, 120), light: bright}.fill(0, 0)
	wet := map[string]float64{"light-true": 75.2, "mid-true": 47.7, "dark-true": 25.0}
	seen := 0
	for _, s := range Palette() {
		look := func(st State) colormath.Lab { return at(f.Draw(s, st), drawnW/2, drawnH/2).Lab() }
		assert.InDelta(t, s.Lab.L, look(Cured).L, .3, s.ID)
		assert.Less(t, look(Enhanced).L, look(Damp).L, s.ID)
		assert.Less(t, look(Damp).L, look(Cured).L-3, s.ID)
		if want, ok := wet[s.ID]; ok {
			assert.InDelta(t, want, look(Damp).L, .3, s.ID)
			seen++
		}
	}
	assert.Equal(t, 3, seen)
	_, ok := State("soaked").Film()
	assert.False(t, ok)
}

// The grain speckles the joint by two percent, leaves its mean, touches no tile, is
// the same for the same seed and another for another.
func TestGrain(t *testing.T) {
	d := drawn{tile: slate, bed: paper, gap: upright(60, 120), light: bright}
	base, pic, m := d.draw()
	draw := func(j Joint) []uint8 {
		return newFill(base, pic, m, light.Even(d.light), j, 0).Draw(Palette()[4], Cured).Pix
	}
	plain, grained := draw(Joint{}), draw(Joint{GrainPx: 1.2, Seed: 7})
	assert.Equal(t, grained, draw(Joint{GrainPx: 1.2, Seed: 7}))
	assert.False(t, bytes.Equal(grained, draw(Joint{GrainPx: 1.2, Seed: 8})))
	var n, sum, sq float64
	for i, g := range m.Gap {
		a, b := float64(colormath.Decode8(grained[4*i+1])), float64(colormath.Decode8(plain[4*i+1]))
		switch g {
		case 0:
			assert.Equal(t, a, b)
		case 255:
			n, sum, sq = n+1, sum+a/b, sq+a*a/b/b
		}
	}
	mean := sum / n
	assert.InDelta(t, 1, mean, .003)
	assert.InDelta(t, grainSpread, math.Sqrt(sq/n-mean*mean), .005)
}

// Tiles that pass a known share of light show the new joint and the adhesive instead
// of the bed: p + share·(open·grout + (1−open)·adhesive − bed), and where the share is
// 0 not a bit changes. Far from any joint open is 0.
func TestSeeThroughTiles(t *testing.T) {
	d := drawn{tile: slate, bed: paper, gap: upright(9, 60), light: bright}
	base, pic, m := d.draw()
	m.Through = make([]uint8, len(m.Gap))
	x, y := drawnW/2+30, drawnH/2 // the middle of a tile
	for i := range m.Through {
		if m.Label[i] > 0 && i/m.W < drawnH/2+20 {
			m.Through[i] = 51 // a fifth
		}
	}
	f := newFill(base, pic, m, light.Even(d.light), Joint{HeightPx: 4, Bed: paper}, 1)
	a := adhesive.LinearRGB()
	want := colormath.LinearRGB{R: slate.R + .2*(a.R-paper.R), G: slate.G + .2*(a.G-paper.G), B: slate.B + .2*(a.B-paper.B)}
	dark, pale := f.Draw(Shade{ID: "soot"}, Cured), f.Draw(Palette()[0], Cured)
	requireNear(t, dark, x, y, want, 1, "middle of the tile")
	requireNear(t, pale, x, y, want, 1, "middle of the tile")
	edge := drawnW/2 + 6
	assert.Less(t, dark.RGBAAt(edge, y).G, pale.RGBAAt(edge, y).G, "near the joint its shade shows")
	assert.Equal(t, base.RGBAAt(x, drawnH/2+30), dark.RGBAAt(x, drawnH/2+30), "an opaque tile")

	m.Through = nil // one photo
	assert.Equal(t, base.RGBAAt(x, y), newFill(base, pic, m, light.Even(d.light), Joint{HeightPx: 4, Bed: paper}, 1).Draw(Shade{}, Cured).RGBAAt(x, y))
	guess := newFill(base, pic, m, light.Even(d.light), Joint{HeightPx: 4, Bed: paper, Clear: true}, 1).Draw(Shade{}, Cured)
	assert.NotEqual(t, base.RGBAAt(x, y), guess.RGBAAt(x, y))
}
