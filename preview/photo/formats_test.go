package photo

import (
	"bytes"
	"image"
	"image/color"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/bmp"

	"gapshade/colormath"
)

// meanDeltaE compares two pictures of one size pixel by pixel, in ΔE00.
func meanDeltaE(t testing.TB, a, b *colormath.Picture) float64 {
	t.Helper()
	require.Equal(t, [2]int{a.W, a.H}, [2]int{b.W, b.H})
	sum := 0.0
	for y := range a.H {
		for x := range a.W {
			sum += colormath.DeltaE2000(a.At(x, y).Lab(), b.At(x, y).Lab())
		}
	}
	return sum / float64(a.W*a.H)
}

// everyFormat is the same panel in every format and colour space.
func everyFormat(t testing.TB) map[string][]byte {
	plain := jpegBytes(t, panel(), 98)
	p3 := jpegBytes(t, toP3(panel()), 98)
	var bm bytes.Buffer
	require.NoError(t, bmp.Encode(&bm, panel()))
	return map[string][]byte{
		"png":              fixture(t, "panel.png"),
		"jpeg":             plain,
		"jpeg progressive": fixture(t, "panel-progressive.jpg"),
		"jpeg P3":          withSegments(p3, iccSegments(p3Profile(), 1)...),
		"jpeg P3, pieces":  withSegments(p3, iccSegments(p3Profile(), 3, 1, 2)...),
		"jpeg CMYK":        fixture(t, "panel-cmyk.jpg"),
		"png P3":           withChunks(pngBytes(t, toP3(panel())), iccChunk(p3Profile())),
		"png P3 cICP":      withChunks(pngBytes(t, toP3(panel())), chunk("cICP", []byte{12, 13, 0, 1})),
		"png 16":           pngBytes(t, deep(panel())),
		"png palette":      pngBytes(t, paletted(panel())),
		"webp lossless":    fixture(t, "panel-lossless.webp"),
		"webp lossy":       fixture(t, "panel-lossy.webp"),
		"webp P3":          webpFile(fixture(t, "panel-p3.webp"), panelW, panelH, riffChunk("ICCP", p3Profile())),
		"tiff 8":           tiffFile(panelW, panelH, 8, rgb8(panel())),
		"tiff 16":          tiffFile(panelW, panelH, 16, rgb16(panel())),
		"tiff 16 P3":       tiffFile(panelW, panelH, 16, rgb16(toP3(panel())), tiffTag{tag: 34675, kind: 7, count: len(p3Profile()), data: p3Profile()}),
		"bmp":              bm.Bytes(),
		"heic":             fixture(t, "panel.heic"),
		"heic P3":          fixture(t, "panel-p3.heic"),
		"heic P3 nclx":     rewrapped(t, "panel-p3.heic", nclx(12, 13, 6, true)),
		"heic 10 bit":      fixture(t, "panel-10bit.heic"),
		"heic limited 709": rewrapped(t, "panel-limited.heic", nclx(1, 13, 1, false)),
	}
}

// One panel, told in every way, is one panel. The oracle is the painter of the
// panel; ΔE00 1.0 on the mean is below what an eye sees, and leaves room for
// what lossy encoders do at edges.
func TestSamePanelInEveryFormat(t *testing.T) {
	want := linearFromCodes(panel(), nil, 1)
	for name, b := range everyFormat(t) {
		p := open(t, b)
		d, limit := meanDeltaE(t, want, p.Picture), 1.0
		if name == "heic 10 bit" {
			limit = 1.2 // the decoder resamples the colour planes on the way to 8 bits
		}
		t.Logf("%-18s %-18s mean ΔE00 %.3f %v", name, p.Profile, d, p.Notes)
		assert.LessOrEqual(t, d, limit, name)
		again := linearFromCodes(p.RGBA(), nil, 1)
		assert.LessOrEqual(t, meanDeltaE(t, want, again), limit, "%s as RGBA", name)
		assert.True(t, p.RGBA().Opaque(), name)
	}
}

func deep(img *image.RGBA) *image.NRGBA64 {
	out := image.NewNRGBA64(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			c := img.RGBAAt(x, y)
			out.SetNRGBA64(x, y, color.NRGBA64{R: uint16(c.R) * 257, G: uint16(c.G) * 257, B: uint16(c.B) * 257, A: 0xffff})
		}
	}
	return out
}

func paletted(img *image.RGBA) *image.Paletted {
	out := image.NewPaletted(img.Rect, nil)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			c := img.RGBAAt(x, y)
			if !slices.Contains(out.Palette, color.Color(c)) {
				out.Palette = append(out.Palette, c)
			}
			out.Set(x, y, c)
		}
	}
	return out
}

// Lossless 8-bit sRGB files keep their codes to the last bit.
func TestPlainCodesAreKept(t *testing.T) {
	all := everyFormat(t)
	for _, name := range []string{"png", "png palette", "webp lossless", "tiff 8", "bmp", "png 16"} {
		samePixels(t, panel(), open(t, all[name]).RGBA(), name)
	}
}

// The black and the white tile of a lossy WebP: limited range taken for full
// range would give 16 and 235.
func TestWebPRange(t *testing.T) {
	img := open(t, fixture(t, "panel-lossy.webp")).RGBA()
	black, white := img.RGBAAt(28, 28), img.RGBAAt(78, 28)
	assert.LessOrEqual(t, max(black.R, black.G, black.B), uint8(1))
	assert.GreaterOrEqual(t, min(white.R, white.G, white.B), uint8(254))
}

// Oracle: the decimal formulas of BT.601 and BT.709 for a few codes, rounded.
func TestYCC(t *testing.T) {
	for _, c := range []struct {
		matrix   int
		full     bool
		in, want [3]uint8
	}{
		{5, false, [3]uint8{16, 128, 128}, [3]uint8{0, 0, 0}},
		{5, false, [3]uint8{235, 128, 128}, [3]uint8{255, 255, 255}},
		{5, false, [3]uint8{30, 128, 128}, [3]uint8{16, 16, 16}},   // 1.164383·14 = 16.3
		{5, false, [3]uint8{100, 120, 140}, [3]uint8{117, 91, 82}}, // 97.808 + 19.152 | −6.621 | −16.138
		{5, true, [3]uint8{100, 120, 140}, [3]uint8{117, 94, 86}},  // 100 + 16.824 | −5.816 | −14.176
		{1, true, [3]uint8{100, 120, 140}, [3]uint8{119, 96, 85}},  // 100 + 18.898 | −4.119 | −14.845
		{0, true, [3]uint8{10, 20, 30}, [3]uint8{30, 10, 20}},
	} {
		img := image.NewYCbCr(image.Rect(0, 0, 1, 1), image.YCbCrSubsampleRatio444)
		img.Y[0], img.Cb[0], img.Cr[0] = c.in[0], c.in[1], c.in[2]
		got := newYCC(c.matrix, c.full).rgba(img, 1).RGBAAt(0, 0)
		assert.Equal(t, c.want, [3]uint8{got.R, got.G, got.B}, "matrix %d full %v %v", c.matrix, c.full, c.in)
	}
}

// Full-range BT.601 is what the standard library does for JPEG, by its own
// integer rounding: never more than one code apart.
func TestYCCAgainstStandardLibrary(t *testing.T) {
	f := newYCC(5, true)
	img := image.NewYCbCr(image.Rect(0, 0, 1, 1), image.YCbCrSubsampleRatio444)
	for i := 0; i < 1<<24; i += 2003 {
		img.Y[0], img.Cb[0], img.Cr[0] = uint8(i), uint8(i>>8), uint8(i>>16)
		var got [4]uint8
		f.row(got[:], img, 0)
		r, g, b := color.YCbCrToRGB(img.Y[0], img.Cb[0], img.Cr[0])
		for c, want := range [3]uint8{r, g, b} {
			if d := int(got[c]) - int(want); d < -1 || d > 1 {
				t.Fatalf("%v: %v against %v", [3]uint8{img.Y[0], img.Cb[0], img.Cr[0]}, got, [3]uint8{r, g, b})
			}
		}
	}
}

// Transparency is laid over white in linear light: black of
// alpha 128/255 leaves 0.498 of the white, code 187 in sRGB; mixing codes would
// give 127.
func TestTransparency(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 3, 1))
	img.SetNRGBA(0, 0, color.NRGBA{0, 0, 0, 0})
	img.SetNRGBA(1, 0, color.NRGBA{0, 0, 0, 128})
	img.SetNRGBA(2, 0, color.NRGBA{10, 20, 30, 255})
	p := open(t, pngBytes(t, img))
	assert.Equal(t, []uint8{255, 255, 255, 255, 187, 187, 187, 255, 10, 20, 30, 255}, p.RGBA().Pix)
	assert.Contains(t, codes(p.Notes), "see-through")
}

// Grey pictures of every depth that PNG has; the codes are spread to 0…255.
func TestGreyDepths(t *testing.T) {
	for _, c := range []struct {
		depth byte
		data  byte // one pixel, in the top bits
		want  uint8
	}{{1, 0x80, 255}, {2, 0x40, 85}, {4, 0x50, 85}, {8, 85, 85}} {
		b := rawPNG(1, 1, c.depth, 0, []byte{0, c.data})
		assert.Equal(t, c.want, open(t, b).RGBA().Pix[0], "depth %d", c.depth)
	}
	p := open(t, rawPNG(1, 1, 16, 0, []byte{0, 0x80, 0x01}))
	assert.InDelta(t, colormath.DecodeSRGB(0x8001/65535.0), p.Picture.At(0, 0).R, 1e-6, "16 bits are not cut to 8")
}

// rawPNG writes a PNG of any depth; rows come with their filter byte.
func rawPNG(w, h int, depth, colour byte, rows []byte) []byte {
	head := join(be32(w), be32(h), []byte{depth, colour, 0, 0, 0})
	return join([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", head), chunk("IDAT", deflated(rows)), chunk("IEND", nil))
}

func codes(notes []Note) (out []string) {
	for _, n := range notes {
		out = append(out, n.Code)
	}
	return out
}
