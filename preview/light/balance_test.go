package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// carded paints a grey card of 18 % into a scene under a yellow lamp: the right
// answer is the lamp's colour, known by construction.
func carded(lamp [3]float64, noise float64) *colormath.Picture {
	rng := rand.New(rand.NewPCG(8, 1))
	pic := colormath.NewPicture(80, 60)
	for y := range 60 {
		for x := range 80 {
			rho := colormath.LinearRGB{R: .4, G: .1, B: .05} // a tile
			if math.Hypot(float64(x)-30, float64(y)-25) <= 14 {
				rho = colormath.LinearRGB{R: .18, G: .18, B: .18}
			}
			n := 1 + noise*rng.NormFloat64()
			pic.Set(x, y, colormath.LinearRGB{R: n * rho.R * lamp[0], G: n * rho.G * lamp[1], B: n * rho.B * lamp[2]})
		}
	}
	return pic
}

// Under any lamp the card becomes neutral and keeps its luminance, and a tile
// keeps its own colour but for the level: it comes out as its reflectance times
// one factor for all channels.
func TestReadCard(t *testing.T) {
	for _, lamp := range [][3]float64{{1, 1, 1}, {1.3, 1, .5}, {.7, 1, 1.4}} {
		pic := carded(lamp, 0)
		b, err := ReadCard(pic, Card{30, 25, 12})
		require.NoError(t, err)
		s := (lamp[0] + lamp[1] + lamp[2]) / 3
		assert.InDeltaSlice(t, []float64{lamp[0] / s, lamp[1] / s, lamp[2] / s}, b.Cast[:], 1e-6)
		assert.InDelta(t, 0, b.Spread, 1e-6)
		before := pic.At(30, 25).Luminance()
		b.Apply(pic, 2)
		card, tile := pic.At(30, 25), pic.At(70, 50)
		assert.InDelta(t, before, card.Luminance(), 1e-6)
		assert.InDelta(t, card.R, card.G, 1e-6)
		assert.InDelta(t, card.R, card.B, 1e-6)
		k := card.G / .18
		assert.InDeltaSlice(t, []float64{.4 * k, .1 * k, .05 * k}, []float64{tile.R, tile.G, tile.B}, 1e-6)
	}
}

// A fifth of the disc on a red tile and noise of 4 % leave the answer within
// 2 %; a plain mean would be off by a third in the red, by hand:
// (.8·.18 + .2·.4)/.18 = 1.24 against (.8·.18 + .2·.05)/.18 = .86.
func TestReadCardIsRobust(t *testing.T) {
	pic := carded([3]float64{1, 1, 1}, .04)
	b, err := ReadCard(pic, Card{35, 25, 12.5})
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{1, 1, 1}, b.Cast[:], .02)
}

// Each refusal, just outside what is borne and just inside.
func TestReadCardRefuses(t *testing.T) {
	pic := carded([3]float64{1, 1, 1}, 0)
	for _, c := range []Card{{-5, 10, 4}, {3, 25, 4}, {30, 58, 4}, {77, 25, 4}, {30, 25, 99}, {math.NaN(), 25, 9}, {30, 25, math.Inf(1)}} {
		_, err := ReadCard(pic, c)
		assert.ErrorIs(t, err, ErrOff, "%v", c)
	}
	_, err := ReadCard(pic, Card{3.5, 25, 4})
	assert.NoError(t, err)
	for _, r := range []float64{0, -3, 1, 2.5} { // a radius of 2.5 holds 21 pixel centres
		_, err := ReadCard(pic, Card{30, 25, r})
		assert.ErrorIs(t, err, ErrSmall, "%g", r)
	}
	// A radius of 10 holds 317 pixel centres: 3 clipped are under 1 %, 4 over it.
	for n, want := range map[int]error{3: nil, 4: ErrClipped} {
		for _, v := range []float64{1, .96, 0} { // 8-bit 255, 251, 0
			pic := carded([3]float64{1, 1, 1}, 0)
			for i := range n {
				p := pic.At(28+i, 25)
				p.B = v
				pic.Set(28+i, 25, p)
			}
			_, err := ReadCard(pic, Card{30, 25, 10})
			assert.ErrorIs(t, err, want, "%d at %g", n, v)
		}
	}
}
