package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Oracle: the standard library's decoder, which checks every CRC.
func TestPNGRoundTrips(t *testing.T) {
	const w, h = 5, 3
	mask := []uint8{0, 1, 2, 3, 4, 255, 0, 255, 0, 255, 9, 9, 9, 9, 9}
	numbers := []uint16{0, 1, 2, 255, 256, 65535, 0, 1, 1, 1, 40000, 40000, 3, 3, 3}
	pal := image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{
		color.RGBA{1, 2, 3, 255}, color.RGBA{200, 100, 50, 255}, color.RGBA{255, 255, 255, 255}})
	for i := range pal.Pix {
		pal.Pix[i] = uint8(i % 3)
	}

	var buf bytes.Buffer
	require.NoError(t, PNGGrey8(&buf, w, h, mask))
	got, err := png.Decode(&buf)
	require.NoError(t, err)
	assert.Equal(t, mask, got.(*image.Gray).Pix)

	buf.Reset()
	require.NoError(t, PNGGrey16(&buf, w, h, numbers))
	got, err = png.Decode(&buf)
	require.NoError(t, err)
	for i, v := range numbers {
		assert.Equal(t, v, got.(*image.Gray16).Gray16At(i%w, i/w).Y)
	}

	buf.Reset()
	require.NoError(t, PNGPaletted(&buf, pal))
	assert.True(t, bytes.Contains(buf.Bytes(), []byte("sRGB")))
	got, err = png.Decode(&buf)
	require.NoError(t, err)
	assert.Equal(t, pal.Pix, got.(*image.Paletted).Pix)
	assert.Equal(t, pal.Palette, got.(*image.Paletted).Palette)
}

// A cut-out keeps the stride of the picture it was cut from.
func TestPNGPalettedOfASubImage(t *testing.T) {
	pal := image.NewPaletted(image.Rect(0, 0, 6, 6), color.Palette{color.Black, color.White})
	pal.SetColorIndex(3, 2, 1)
	sub := pal.SubImage(image.Rect(2, 2, 5, 4)).(*image.Paletted)
	var buf bytes.Buffer
	require.NoError(t, PNGPaletted(&buf, sub))
	got, err := png.Decode(&buf)
	require.NoError(t, err)
	assert.Equal(t, []uint8{0, 1, 0, 0, 0, 0}, got.(*image.Paletted).Pix)
}

func TestPNGRefuses(t *testing.T) {
	assert.ErrorContains(t, PNGGrey8(&bytes.Buffer{}, 2, 2, make([]uint8, 3)), "need 4 values")
	assert.Error(t, PNGGrey16(&bytes.Buffer{}, 0, 0, nil))
	see := image.NewPaletted(image.Rect(0, 0, 1, 1), color.Palette{color.Transparent})
	assert.ErrorContains(t, PNGPaletted(&bytes.Buffer{}, see), "opaque")
	assert.Error(t, PNGGrey8(failing{}, 1, 1, []uint8{0}), "a full disk is an error, not a short file")
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, assert.AnError }

// bricks is a label map and its soft-edged mask: 50 × 36 = 1,800 tiles in
// 4,000 × 3,000 px, with wavy gaps so that rows are not copies of each other.
func bricks() (w, h int, label []uint16, gap []uint8) {
	w, h = 4000, 3000
	label, gap = make([]uint16, w*h), make([]uint8, w*h)
	wave := make([]float64, w)
	for i := range wave {
		wave[i] = 9 * math.Sin(float64(i)/37)
	}
	for y := range h {
		for x := range w {
			u, v := float64(x)+wave[y], float64(y)+wave[x]
			cu, cv := math.Floor(u/80), math.Floor(v/83.5)
			d := math.Min(math.Min(u-80*cu, 80*cu+80-u), math.Min(v-83.5*cv, 83.5*cv+83.5-v))
			cover := math.Max(0, math.Min(1, 5-d))
			gap[y*w+x] = uint8(255 * cover)
			if cover < .5 {
				label[y*w+x] = uint16(1 + (int(cv)+1)*52 + int(cu) + 1)
			}
		}
	}
	return w, h, label, gap
}

func BenchmarkPNGGrey16Label12MP(b *testing.B) {
	w, h, label, _ := bricks()
	var buf bytes.Buffer
	for b.Loop() {
		buf.Reset()
		require.NoError(b, PNGGrey16(&buf, w, h, label))
	}
	b.ReportMetric(float64(buf.Len()), "file-B")
}

func BenchmarkPNGGrey8Mask12MP(b *testing.B) {
	w, h, _, gap := bricks()
	var buf bytes.Buffer
	for b.Loop() {
		buf.Reset()
		require.NoError(b, PNGGrey8(&buf, w, h, gap))
	}
	b.ReportMetric(float64(buf.Len()), "file-B")
}

// The standard encoder on the same label map, for comparison.
func BenchmarkStandardGrey16Label12MP(b *testing.B) {
	w, h, label, _ := bricks()
	img := image.NewGray16(image.Rect(0, 0, w, h))
	for i, v := range label {
		img.Pix[2*i], img.Pix[2*i+1] = uint8(v>>8), uint8(v)
	}
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	var buf bytes.Buffer
	for b.Loop() {
		buf.Reset()
		require.NoError(b, enc.Encode(&buf, img))
	}
	b.ReportMetric(float64(buf.Len()), "file-B")
}
