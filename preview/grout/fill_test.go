package grout

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/light"
)

var (
	paper  = colormath.Lab{L: 93}.LinearRGB()
	slate  = colormath.Lab{L: 30, A: -4, B: -8}.LinearRGB()
	cream  = colormath.Lab{L: 84, A: 3, B: 14}.LinearRGB()
	bright = colormath.LinearRGB{R: 1, G: 1, B: 1}
)

// Tiles and everything outside the panel are the photo's own bytes, noise and
// all, under every shade; and the photo itself is not painted on.
func TestTilesStayByteForByte(t *testing.T) {
	f, base, m := drawn{tile: slate, bed: paper, gap: upright(7.4, 30), light: bright, noise: 2}.fill(3, 2)
	before := bytes.Clone(base.Pix)
	inside := make([]bool, len(m.Gap))
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			inside[s.Y*m.W+x] = true
		}
	}
	for _, s := range Palette() {
		out := f.Draw(s, Cured)
		require.Equal(t, base.Rect, out.Rect)
		same, changed := 0, 0
		for i := range m.Gap {
			if a, b := base.Pix[4*i:4*i+4], out.Pix[4*i:4*i+4]; !inside[i] || m.Gap[i] == 0 {
				require.Equal(t, a, b, "%s at %d,%d", s.ID, i%m.W, i/m.W)
				same++
			} else if !bytes.Equal(a, b) {
				changed++
			}
			require.EqualValues(t, 255, out.Pix[4*i+3])
		}
		assert.Greater(t, same, 10000)
		assert.Greater(t, changed, 2000, s.ID)
	}
	assert.Equal(t, before, base.Pix)
}

// A flat grout on even light reads back its own colour in the middle of a wide
// joint, far from the walls that dim it: the nearest 8-bit code in every channel.
// Half a code is up to ΔL* 0.25, and 0.6 in ΔE00 on pale greys, where a hint of
// chroma counts most.
func TestGroutReadsBack(t *testing.T) {
	f, _, _ := drawn{tile: slate, bed: paper, gap: upright(60, 120), light: bright}.fill(3, 0)
	for _, s := range Palette() {
		got := at(f.Draw(s, Cured), drawnW/2, drawnH/2).Lab()
		assert.InDelta(t, s.Lab.L, got.L, .3, s.ID)
		assert.LessOrEqual(t, colormath.DeltaE2000(s.Lab, got), .6, s.ID)
		assert.Equal(t, s.Lab.LinearRGB().Hex(), at(f.Draw(s, Cured), drawnW/2, drawnH/2).Hex(), s.ID)
	}
}

// The same under a dim, yellow light: the joint is light times reflectance,
// channel by channel. Worked by hand: L* 61.046 is Y 0.29301; under R 0.6,
// G 0.5, B 0.35 the joint shows 0.17581, 0.14650, 0.10255 linear, which is sRGB
// 116, 107, 91 (IEC 61966-2-1).
func TestGroutUnderYellowLight(t *testing.T) {
	f, _, _ := drawn{tile: slate, bed: paper, gap: upright(60, 120), light: colormath.LinearRGB{R: .6, G: .5, B: .35}}.fill(3, 0)
	s, err := New("mid", colormath.Lab{L: 61.046})
	require.NoError(t, err)
	p := f.Draw(s, Cured).RGBAAt(drawnW/2, drawnH/2)
	assert.InDeltaSlice(t, []float64{116, 107, 91}, []float64{float64(p.R), float64(p.G), float64(p.B)}, 1)
}

// Mixed pixels keep exactly the tile's share and get the new joint's: pixel =
// (1−α)·tile + α·light·grout in linear light, with nothing of the old bed left.
// The oracle is the drawing; 1 code is rounding.
func TestEdgeIdentity(t *testing.T) {
	const recess, y = 3.0, drawnH / 2
	for name, d := range map[string]drawn{
		"dark tiles on white paper": {tile: slate, bed: paper, gap: upright(9.3, 34), light: bright},
		"pale tiles on black card":  {tile: cream, bed: colormath.Lab{L: 14}.LinearRGB(), gap: upright(9.3, 34), light: bright},
		"hardly any contrast":       {tile: cream, bed: paper, gap: upright(8.7, 34), light: colormath.LinearRGB{R: .9, G: .8, B: .6}},
		"narrow joints":             {tile: slate, bed: paper, gap: upright(3.6, 20), light: bright},
	} {
		f, _, m := d.fill(recess, 1)
		lit := d.lit(Joint{DepthPx: recess}, y)
		for _, s := range append(Palette(), Shade{ID: "soot", Lab: colormath.Lab{}}, Shade{ID: "brick", Lab: colormath.Lab{L: 40, A: 35, B: 30}}) {
			rho := s.Lab.LinearRGB()
			out, mixed := f.Draw(s, Cured), 0
			for x := 14; x < 146; x++ {
				a := float64(m.Gap[y*m.W+x]) / 255
				if a == 0 {
					continue
				}
				if a < 1 {
					mixed++
				}
				k := lit[x]
				want := colormath.LinearRGB{R: (1-a)*d.tile.R + a*float64(k[0])*rho.R, G: (1-a)*d.tile.G + a*float64(k[1])*rho.G, B: (1-a)*d.tile.B + a*float64(k[2])*rho.B}
				requireNear(t, out, x, y, want, 1, "%s, %s, α %.2f", name, s.ID, a)
			}
			assert.Greater(t, mixed, 6, name)
		}
	}
}

// The arithmetic of the identity, worked by hand: α 0.4, light 0.6, tile 0.3,
// bed 0.85 and grout 0.2931 as reflectances. The photo shows 0.4·0.6·0.85 +
// 0.6·(0.6·0.3) = 0.312, the preview 0.312 + 0.4·0.6·(0.2931 − 0.85) = 0.17834.
func TestEdgeByHand(t *testing.T) {
	grey := func(v float64) colormath.LinearRGB { return colormath.LinearRGB{R: v, G: v, B: v} }
	d := drawn{tile: grey(.6 * .3), bed: grey(.6 * .85), light: grey(.6), gap: func(x, _ int) float64 {
		switch { // a joint as wide as half the panel, so that the walls are far; one column of 0.4
		case x < 40:
			return 0
		case x == 40:
			return .4
		}
		return 1
	}}
	_, pic, _ := d.draw()
	assert.InDelta(t, .312, pic.At(40, 60).G, 1e-6)

	s := Shade{Lab: colormath.LinearRGB{R: .2931, G: .2931, B: .2931}.Lab()}
	f, _, _ := d.fill(0, 1)
	requireNear(t, f.Draw(s, Cured), 40, 60, grey(.17834), 1, "by hand")
	assert.InDelta(t, .17834, .6*.6*.3+.4*.6*.2931, 1e-5)
}

// No halo: across an edge every channel stays between the tile and the joint as
// it is lit there, and with a black shade nothing of the white paper shines
// through.
func TestNoHalo(t *testing.T) {
	const y, recess = drawnH / 2, 2.0
	d := drawn{tile: slate, bed: paper, gap: upright(12.5, 40), light: bright}
	f, _, _ := d.fill(recess, 1)
	lit := d.lit(Joint{DepthPx: recess}, y)
	tile := [3]float64{slate.R, slate.G, slate.B}
	for _, s := range append(Palette(), Shade{ID: "soot"}) {
		out, rho := f.Draw(s, Cured), s.Lab.LinearRGB()
		for x := 14; x < 146; x++ {
			for c, g := range [3]float64{rho.R, rho.G, rho.B} {
				t1, t2 := int(colormath.Encode8(float32(tile[c]))), int(colormath.Encode8(float32(g)*lit[x][c]))
				v := int(out.Pix[y*out.Stride+4*x+c])
				assert.True(t, v >= min(t1, t2)-1 && v <= max(t1, t2)+1, "%s at %d: %d between tile %d and joint %d", s.ID, x, v, t1, t2)
			}
		}
	}
}

// Beside every shade a tile of one flat colour keeps it: outside the joint's soft edge
// no pixel moves by more than ΔE00 1, however near the joint, and within 3 px of it
// there are some hundreds of such pixels. The photo is drawn, so its edge is known;
// on a coarse view of it the edge would be another's to find.
func TestNoTileMovesBesideAnyShade(t *testing.T) {
	for name, tile := range map[string]colormath.LinearRGB{"slate": slate, "cream": cream} {
		d := drawn{tile: tile, bed: paper, gap: upright(9.3, 34), light: bright}
		base, pic, m := d.draw()
		lamp := light.Lamp{X: -1, Reach: 1.2, Soft: .4, Share: [3]float64{.6, .6, .6}}
		f := newFill(base, pic, m, light.Even(d.light), Joint{DepthPx: 3, Lamp: lamp, GrainPx: 1}, 1)
		for _, s := range Palette() {
			out, near := f.Draw(s, Cured), 0
			for y := 12; y < 108; y++ {
				for x := 16; x < 144; x++ {
					if m.Gap[y*m.W+x] != 0 {
						continue
					}
					if m.Gap[y*m.W+x-3] != 0 || m.Gap[y*m.W+x+3] != 0 {
						near++
					}
					require.LessOrEqual(t, colormath.DeltaE2000(at(base, x, y).Lab(), at(out, x, y).Lab()), 1.0, "%s beside %s at %d,%d", name, s.ID, x, y)
				}
			}
			assert.Greater(t, near, 500)
		}
	}
}

// The pictures don't depend on the number of threads, nor on who else draws.
func TestThreadsDoNotMatter(t *testing.T) {
	d := drawn{tile: cream, bed: paper, gap: upright(7.4, 30), light: colormath.LinearRGB{R: .9, G: .8, B: .7}, noise: 2}
	one, _, _ := d.fill(3, 1)
	shades := Palette()
	want := make([][]byte, len(shades))
	for i, s := range shades {
		want[i] = one.Draw(s, Cured).Pix
	}
	for _, threads := range []int{0, 2, 3, 17, 1000} {
		f, _, _ := d.fill(3, threads)
		var wg sync.WaitGroup
		got := make([][]byte, len(shades))
		for i, s := range shades {
			wg.Go(func() { got[i] = f.Draw(s, Cured).Pix })
		}
		wg.Wait()
		for i := range got {
			assert.True(t, bytes.Equal(want[i], got[i]), "%d threads, %s", threads, shades[i].ID)
		}
	}
}

// Under a bed as dark as velvet the light is read from a few codes, and the
// joint must still come out in fine steps: every joint pixel is the field times
// the grout, to 1 code.
func TestNoStepsOnDarkBed(t *testing.T) {
	velvet := colormath.Lab{L: 5}.LinearRGB()
	base, pic, m := drawn{tile: cream, bed: velvet, gap: upright(24, 48), light: bright}.draw()
	for y := range drawnH { // a slope of light, 1.4 to 1
		for x := range drawnW {
			c := pic.At(x, y)
			k := math.Exp(.17 * float64(x-drawnW/2) / (drawnW / 2))
			pic.Set(x, y, colormath.LinearRGB{R: k * c.R, G: k * c.G, B: k * c.B})
		}
	}
	field := light.Measure(pic, m, &velvet, 0).Field
	out := newFill(base, pic, m, field, Joint{}, 1).Draw(Palette()[0], Cured)
	rho := Palette()[0].Lab.LinearRGB()
	for x := 14; x < 146; x++ {
		if m.Gap[60*m.W+x] == 255 {
			e := field.At(float64(x), 60)
			requireNear(t, out, x, 60, colormath.LinearRGB{R: e.R * rho.R, G: e.G * rho.G, B: e.B * rho.B}, 1, "x %d", x)
		}
	}
}

// at reads one pixel in linear light.
func at(img *image.RGBA, x, y int) colormath.LinearRGB {
	p := img.RGBAAt(x, y)
	return colormath.LinearRGB{R: float64(colormath.Decode8(p.R)), G: float64(colormath.Decode8(p.G)), B: float64(colormath.Decode8(p.B))}
}

// requireNear compares a pixel with a linear colour, in codes.
func requireNear(t *testing.T, img *image.RGBA, x, y int, want colormath.LinearRGB, codes int, format string, args ...any) {
	t.Helper()
	p := img.RGBAAt(x, y)
	got := []uint8{p.R, p.G, p.B}
	for c, v := range []float64{want.R, want.G, want.B} {
		w := int(colormath.Encode8(float32(v)))
		if d := int(got[c]) - w; d > codes || -d > codes {
			require.Fail(t, fmt.Sprintf("%s: %v at %d,%d, wanted %d in channel %d", fmt.Sprintf(format, args...), got, x, y, w, c))
		}
	}
	require.EqualValues(t, 255, p.A)
}
