package preview

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/segment"
)

// By hand; the inch is 25.4 mm by definition, the foot twelve of them.
func TestParseLength(t *testing.T) {
	for text, mm := range map[string]float64{
		"2mm":        2,
		"2 mm":       2,
		" 2MM ":      2,
		"1.5mm":      1.5,
		"1,5mm":      1.5,
		".5mm":       .5,
		"0.05cm":     .5,
		"38cm":       380,
		"1m":         1000,
		"1in":        25.4,
		"1/16in":     25.4 / 16,
		"1/8\"":      25.4 / 8,
		"11 3/4in":   11.75 * 25.4,
		"11 3/4 in":  11.75 * 25.4,
		"1 1/2 inch": 1.5 * 25.4,
		"2ft":        609.6,
		"1000000mm":  1e6,
		"007mm":      7,
	} {
		got, err := ParseLength(text)
		require.NoError(t, err, "%q", text)
		assert.InDelta(t, mm, got, 1e-9, "%q", text)
	}
}

// Signs, other digits, other notations, nothing, too much: each is refused in a
// sentence that quotes what was written, and none of them gives a number.
var badLengths = []string{
	"", " ", "mm", "2", "two mm", "2 mm mm", "2km", "2 m m", "2mm3",
	"-2mm", "+2mm", "−3mm", "0mm", "0.0mm", "0/5in", "0 0/4in",
	"NaN", "NaNmm", "Infmm", "infinitymm", "1e3mm", "1e309mm", "0x10mm", "1_000mm", "1000001mm", "2000m",
	"1/0in", "1//2in", "/2in", "1/in", "1/2/3in", "3/4 1in", "1 2in", "1 2 3/4in", "½in", "1½in", "⅛″", "1.5.2mm", "1..5mm", "1,,5mm", ",mm", ".mm",
	"٢mm", "２mm", "２ｍｍ", "2\x00mm", "2\nmm2", "2mm\x1b[31m", "'2mm'", "--gap",
}

func TestParseLengthRefuses(t *testing.T) {
	for _, text := range append(badLengths, "9"+string(make([]byte, 400)), longNumber()) {
		got, err := ParseLength(text)
		require.Error(t, err, "%q gave %g", text, got)
		assert.Zero(t, got, "%q", text)
		assert.NotContains(t, err.Error(), "strconv", "%q", text)
	}
}

// longNumber has more digits than a float can hold.
func longNumber() string {
	b := make([]byte, 400)
	for i := range b {
		b[i] = '9'
	}
	return string(b) + "mm"
}

func TestParseSize(t *testing.T) {
	for text, want := range map[string][2]float64{
		"380x300mm":       {380, 300},
		"380 x 300 mm":    {380, 300},
		"380X300MM":       {380, 300},
		"380×300mm":       {380, 300},
		"38cm x 300mm":    {380, 300},
		"0.38m×30cm":      {380, 300},
		"15x11 3/4in":     {381, 298.45}, // 15 · 25.4, 11.75 · 25.4
		"15 1/2x11 3/4in": {393.7, 298.45},
		"15\"x11 3/4\"":   {381, 298.45},
		"15in x 1ft":      {381, 304.8},
		"38,5x30,5cm":     {385, 305},
		"1ft x 300mm":     {304.8, 300},
		" 380x300mm ":     {380, 300},
		"1/2in x 1/4in":   {12.7, 6.35},
	} {
		w, h, err := ParseSize(text)
		require.NoError(t, err, "%q", text)
		assert.InDeltaSlice(t, want[:], []float64{w, h}, 1e-9, "%q", text)
	}
	for _, text := range []string{
		"", "x", "380mm", "380x300", "380mmx300", "x300mm", "380xmm", "380x300mmx20mm", "380x300x20mm", "380*300mm", "380 by 300mm", "380;300mm",
		"0x300mm", "380x0mm", "-380x300mm", "380x-300mm", "NaNxNaNmm", "1e309x1mm", "1e3x1mm", "٣٨٠x٣٠٠mm", "380x300km", "1000001x1mm", "380x300mm\x00",
	} {
		w, h, err := ParseSize(text)
		require.Error(t, err, "%q gave %g x %g", text, w, h)
		assert.NotContains(t, err.Error(), "strconv", "%q", text)
	}
}

// Whatever is written, a length that is taken is finite, above zero and at most
// a kilometre: 100,000 strings made of the signs that occur.
func TestParsersNeverGiveNonsense(t *testing.T) {
	signs := []string{"1", "0", "9", ".", ",", "/", " ", "-", "e", "x", "×", "mm", "cm", "in", "m", "\"", "ft", "NaN", "#", "\x00"}
	rng := rand.New(rand.NewPCG(20, 26))
	taken := 0
	for range 100_000 {
		text := ""
		for range 1 + rng.IntN(8) {
			text += signs[rng.IntN(len(signs))]
		}
		if v, err := ParseLength(text); err == nil {
			taken++
			require.True(t, v > 0 && v <= 1e6, "%q gave %g", text, v)
		}
		if w, h, err := ParseSize(text); err == nil {
			require.True(t, w > 0 && w <= 1e6 && h > 0 && h <= 1e6, "%q gave %g x %g", text, w, h)
		}
		if q, err := ParseCorners(text); err == nil {
			require.NotNil(t, q)
		}
	}
	assert.Greater(t, taken, 500, "the strings have to hit now and then")
}

// A length written out reads back.
func TestParseLengthRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 1000 {
		mm := math.Exp(rng.Float64()*12 - 2)
		got, err := ParseLength(strconv.FormatFloat(mm, 'f', -1, 64) + "mm")
		require.NoError(t, err)
		assert.Equal(t, mm, got)
	}
}

func TestParseCorners(t *testing.T) {
	want := &segment.Quad{{X: 40, Y: 30}, {X: 980.5, Y: 35}, {X: 975, Y: 720}, {X: 0, Y: -.5}}
	for _, text := range []string{"40,30 980.5,35 975,720 0,-.5", "  40,30\t980.5,35\n975,720   0,-0.5 "} {
		got, err := ParseCorners(text)
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got)
	}
	for text, say := range map[string]string{
		"":                     "0 points given; four are needed",
		"1,2 3,4 5,6":          "3 points given",
		"1,2 3,4 5,6 7,8 9,10": "5 points given",
		"1, 2 3, 4 5, 6 7, 8":  "8 points given",
		"1;2 3;4 5;6 7;8":      `"1;2" is not a point`,
		"1,2,3 4,5 6,7 8,9":    `"1,2,3" is not a point`,
		"1,2 3,4 5,6 7":        `"7" is not a point`,
		"1,2 3,4 5,6 seven,8":  `"seven,8" is not a point`,
		"1,2 3,4 5,6 1e309,8":  `"1e309,8" is not a point`,
		"1,2 3,4 5,6 ٧,8":      `"٧,8" is not a point`,
		"10px,2 3,4 5,6 7,8":   `"10px,2" is not a point`,
	} {
		_, err := ParseCorners(text)
		assert.ErrorContains(t, err, say, "%q", text)
	}
}
