package sheet

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/disintegration/imaging"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// One channel is reduced by area, by hand: 6 × 2 to 4 wide, so that every new pixel
// holds one old one and a half, and the one row all of both.
func TestThinnedByHand(t *testing.T) {
	pix := []uint8{0, 90, 30, 60, 60, 240, 0, 90, 30, 60, 60, 240}
	got, h := thinned(pix, 6, 2, 4)
	assert.Equal(t, 1, h)
	assert.Equal(t, []uint8{30, 50, 60, 180}, got)
	same, h := thinned(pix, 6, 2, 6)
	assert.Equal(t, 2, h)
	assert.Equal(t, pix, same)
}

func flat(w, h int, c color.RGBA) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := 0; i < len(img.Pix); i += 4 {
		img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = c.R, c.G, c.B, c.A
	}
	return img
}

// A flat picture stays flat for every code and every awkward ratio.
func TestThumbKeepsFlatColour(t *testing.T) {
	for code := range 256 {
		c := color.RGBA{uint8(code), uint8(255 - code), 77, 255}
		out := Thumb(flat(53, 41, c), image.Rect(3, 2, 50, 40), 17, 1)
		for y := range out.Bounds().Dy() {
			for x := range 17 {
				require.Equal(t, c, out.RGBAAt(x, y))
			}
		}
	}
}

// Oracle: the definition, in floating point, over fractional pixel areas.
func TestThumbIsTheAreaMeanOfLight(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	full := flat(37, 23, color.RGBA{A: 255})
	for i := range full.Pix {
		if i%4 != 3 {
			full.Pix[i] = uint8(rng.IntN(256))
		}
	}
	crop := image.Rect(4, 1, 36, 20)
	for _, w := range []int{1, 5, 9, 32, 70} {
		out := Thumb(full, crop, w, 1)
		require.Equal(t, out, Thumb(full, crop, w, 3), "threads")
		h := out.Bounds().Dy()
		assert.Equal(t, max(1, int(math.Round(float64(w)*19/32))), h)
		for y := range h {
			for x := range w {
				want := meanLight(full, crop, float64(x)/float64(w), float64(x+1)/float64(w), float64(y)/float64(h), float64(y+1)/float64(h))
				assert.InDelta(t, want, float64(out.RGBAAt(x, y).R), 1, "w %d at %d,%d", w, x, y)
			}
		}
	}
}

// meanLight is the red code of the mean light over a part (0…1) of the crop.
func meanLight(img *image.RGBA, crop image.Rectangle, x0, x1, y0, y1 float64) float64 {
	cw, ch := float64(crop.Dx()), float64(crop.Dy())
	sum, area := 0.0, 0.0
	for j := range crop.Dy() {
		for i := range crop.Dx() {
			a := math.Max(0, math.Min(x1*cw, float64(i+1))-math.Max(x0*cw, float64(i)))
			a *= math.Max(0, math.Min(y1*ch, float64(j+1))-math.Max(y0*ch, float64(j)))
			sum += a * colormath.DecodeSRGB(float64(img.RGBAAt(crop.Min.X+i, crop.Min.Y+j).R)/255)
			area += a
		}
	}
	return 255 * colormath.EncodeSRGB(sum/area)
}

// Why not the library's box filter: it averages codes. Light joints, 3 px wide,
// on dark tiles, 12 px apart, reduced 12 times: a quarter of the light must
// arrive. Oracle: arithmetic on luminance.
func TestThumbKeepsJointContrast(t *testing.T) {
	light, dark := colormath.Lab{L: 85.3}, colormath.Lab{L: 35.6}
	hi, lo := colormath.Encode8(float32(light.Luminance())), colormath.Encode8(float32(dark.Luminance()))
	img := flat(240, 24, color.RGBA{lo, lo, lo, 255})
	for y := range 24 {
		for x := range 240 {
			if x%12 < 3 {
				img.SetRGBA(x, y, color.RGBA{hi, hi, hi, 255})
			}
		}
	}
	want := colormath.Lightness(.25*light.Luminance() + .75*dark.Luminance()) // L* 55.9
	lightness := func(v uint8) float64 { return colormath.Lightness(float64(colormath.Decode8(v))) }
	ours := Thumb(img, img.Bounds(), 20, 1).RGBAAt(7, 1).R
	assert.InDelta(t, want, lightness(ours), .3, "one code is .4 in L*")
	theirs := imaging.Resize(img, 20, 0, imaging.Box).NRGBAAt(7, 1).R
	assert.Greater(t, want-lightness(theirs), 5.0, "the mean of codes is visibly darker")
}

func TestThumbOfNothing(t *testing.T) {
	img := flat(4, 4, color.RGBA{A: 255})
	assert.True(t, Thumb(img, image.Rect(10, 10, 20, 20), 5, 1).Bounds().Empty())
	assert.True(t, Thumb(img, img.Bounds(), 0, 1).Bounds().Empty())
}

func BenchmarkThumb12MP(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * 31)
	}
	b.SetBytes(12_000_000)
	for b.Loop() {
		Thumb(img, img.Bounds(), 900, 1)
	}
}

func BenchmarkLibraryBox12MP(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	b.SetBytes(12_000_000)
	for b.Loop() {
		imaging.Resize(img, 900, 0, imaging.Box)
	}
}
