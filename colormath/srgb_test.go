package colormath

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
)

// Anchors worked by hand from IEC 61966-2-1: the ends, the straight part
// (code 10: 10/255/12.92), and code 128, (.5019608+.055)/1.055 to the 2.4.
func TestSRGBCurveAnchors(t *testing.T) {
	assert.Equal(t, 0.0, DecodeSRGB(0))
	assert.InDelta(t, 1, DecodeSRGB(1), 1e-15)
	assert.InDelta(t, 10.0/255/12.92, DecodeSRGB(10.0/255), 1e-15)
	assert.InDelta(t, 0.2158605, DecodeSRGB(128.0/255), 1e-7)
	// A card of 18 % is sRGB 118: the usual photographic grey.
	assert.EqualValues(t, 118, Encode8(0.18))
}

func TestSRGBCurveIsOddAndInvertible(t *testing.T) {
	for l := -0.5; l <= 3; l += 1.0 / 512 {
		assert.InDelta(t, l, DecodeSRGB(EncodeSRGB(l)), 1e-7, "the standard's two limits meet only to 1e-8")
		assert.Equal(t, -EncodeSRGB(l), EncodeSRGB(-l))
		assert.Equal(t, -DecodeSRGB(l), DecodeSRGB(-l))
	}
}

// Second opinion: go-colorful follows the same standard.
func TestSRGBAgainstColorful(t *testing.T) {
	for i := range 256 {
		v := float64(i) / 255
		r, _, _ := colorful.Color{R: v}.LinearRgb()
		assert.InDelta(t, r, DecodeSRGB(v), 1e-12, "code %d", i)
	}
}

func TestEveryCodeSurvives(t *testing.T) {
	for i := range 256 {
		assert.EqualValues(t, i, Encode8(Decode8(uint8(i))))
		assert.Equal(t, float32(DecodeSRGB(float64(i)/255)), Decode8(uint8(i)))
		assert.Equal(t, Decode8(uint8(i)), Decode16(uint16(257*i)), "code 257·i of 65535 is code i of 255")
	}
	for i := range 65536 {
		if got := Encode16(Decode16(uint16(i))); int(got) != i {
			t.Fatalf("16-bit code %d came back as %d", i, got)
		}
	}
}

// The oracle is the definition, round(255·EncodeSRGB(l)). Eight million floats
// of 0…1, a prime number of steps apart, and every float within three steps of
// a place where the code changes.
func TestEncode8IsTheRoundedCurve(t *testing.T) {
	check := func(bits uint32) {
		l := math.Float32frombits(bits)
		if want, got := encode8Slow(l), Encode8(l); want != got {
			t.Fatalf("light %v (bits %#x): want %d, got %d", l, bits, want, got)
		}
	}
	one := math.Float32bits(1)
	for bits := uint32(0); bits <= one; bits += 127 {
		check(bits)
	}
	for c := 1; c < 256; c++ {
		at := math.Float32bits(float32(DecodeSRGB((float64(c) - 0.5) / 255)))
		for bits := at - 3; bits <= at+3; bits++ {
			check(bits)
		}
	}
}

func TestEncodeClips(t *testing.T) {
	nan, inf := float32(math.NaN()), float32(math.Inf(1))
	for _, c := range []struct {
		light float32
		want  uint8
	}{{-inf, 0}, {-1, 0}, {nan, 0}, {1, 255}, {1.5, 255}, {inf, 255}} {
		assert.Equal(t, c.want, Encode8(c.light), "light %v", c.light)
		assert.Equal(t, uint16(c.want)*257, Encode16(c.light), "light %v", c.light)
	}
}

func BenchmarkEncode8(b *testing.B) {
	var lights [1024]float32
	for i := range lights {
		lights[i] = float32(i) * 37 / 1024
		lights[i] -= float32(int(lights[i])) // no order that a branch predictor could learn
	}
	sum := 0
	for i := 0; b.Loop(); i++ {
		sum += int(Encode8(lights[i&1023]))
	}
	if sum < 0 {
		b.Fatal("never")
	}
}
