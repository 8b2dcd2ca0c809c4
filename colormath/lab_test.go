package colormath

import (
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Oracle: srgb_to_lab.csv, 13 sRGB codes under both whites, computed elsewhere
// and agreeing with go-colorful to .02. Four digits are given; 2e-3 asked.
func TestSRGBToLab(t *testing.T) {
	for _, r := range reference(t, "srgb_to_lab.csv", 13) {
		c := LinearRGB{
			DecodeSRGB(r.num(t, "R") / 255), DecodeSRGB(r.num(t, "G") / 255), DecodeSRGB(r.num(t, "B") / 255),
		}
		labsClose(t, r.lab(t, "L_D65", "a_D65", "b_D65"), c.XYZ().Lab(D65), 2e-3, r)
		labsClose(t, r.lab(t, "L_D50", "a_D50", "b_D50"), c.Lab(), 2e-3, r)
		// The short way of one matrix is the long way of two.
		labsClose(t, c.XYZ().Adapt(D65, D50ICC).Lab(D50ICC), c.Lab(), 1e-10, r)
	}
}

// Every 17th code of each channel and colours beyond sRGB, there and back.
func TestLabRoundTrip(t *testing.T) {
	levels := []float64{-0.1, 1.3}
	for i := 0; i <= 255; i += 17 {
		levels = append(levels, DecodeSRGB(float64(i)/255))
	}
	for _, r := range levels {
		for _, g := range levels {
			for _, b := range levels {
				c := LinearRGB{r, g, b}
				for _, back := range []LinearRGB{c.Lab().LinearRGB(), c.XYZ().LinearRGB(), c.XYZ().Lab(D65).XYZ(D65).LinearRGB()} {
					require.InDelta(t, r, back.R, 1e-12)
					require.InDelta(t, g, back.G, 1e-12)
					require.InDelta(t, b, back.B, 1e-12)
				}
			}
		}
	}
}

func TestGreysHaveNoColour(t *testing.T) {
	for i := range 256 {
		l := float64(Decode8(uint8(i)))
		c := LinearRGB{l, l, l}.Lab()
		require.Less(t, c.Chroma(), 1e-12, "code %d", i)
		require.InDelta(t, l, c.Luminance(), 1e-14)
		require.InDelta(t, c.L, Lightness(l), 1e-12)
	}
	assert.InDelta(t, 100, LinearRGB{1, 1, 1}.Lab().L, 1e-12)
	assert.Equal(t, Lab{}, LinearRGB{}.Lab(), "black is the origin")
}

// Hue angles on the axes are known without arithmetic.
func TestHue(t *testing.T) {
	for want, c := range map[float64]Lab{0: {A: 1}, 90: {B: 1}, 180: {A: -1}, 270: {B: -1}} {
		assert.InDelta(t, want, c.Hue(), 1e-12)
	}
	assert.Equal(t, 0.0, Lab{L: 50}.Hue(), "grey")
	labsClose(t, Lab{50, -3, 4}, Tinted(50, 5, Lab{A: -3, B: 4}.Hue()), 1e-12, "3-4-5 triangle")
}

// Second opinion: go-colorful's D65 Lab is on a 0…1 scale and its white differs
// from its own matrix white, by up to .02 in b*.
func TestLabAgainstColorful(t *testing.T) {
	for i := 0; i < 4096; i += 7 {
		v := colorful.Color{R: float64(i>>8) / 15, G: float64(i>>4&15) / 15, B: float64(i&15) / 15}
		l, a, b := v.Lab()
		got := LinearRGB{DecodeSRGB(v.R), DecodeSRGB(v.G), DecodeSRGB(v.B)}.XYZ().Lab(D65)
		labsClose(t, Lab{100 * l, 100 * a, 100 * b}, got, 0.02, v)
	}
}

func TestHex(t *testing.T) {
	for text, want := range map[string]LinearRGB{
		"#000000": {}, "#FFFFFF": {1, 1, 1}, "#f00": {R: 1},
		"#0a0a0a": {10.0 / 255 / 12.92, 10.0 / 255 / 12.92, 10.0 / 255 / 12.92},
	} {
		got, err := ParseHex(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want.R, got.R, 1e-12, text)
		assert.InDelta(t, want.G, got.G, 1e-12, text)
		assert.InDelta(t, want.B, got.B, 1e-12, text)
	}
	for _, text := range []string{"#d0d6dd", "#53504a", "#010203"} {
		c, err := ParseHex(text)
		require.NoError(t, err)
		assert.Equal(t, text, c.Hex())
	}
	assert.Equal(t, "#ff0000", LinearRGB{1.2, -0.1, 0}.Hex(), "clipped")
	for _, text := range []string{"", "d0d6dd", "#d0d6d", "#d0d6dg", "#+12345", "#d0d6dd ", "grey"} {
		_, err := ParseHex(text)
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), "#rrggbb", "the message must show the form")
	}
}
