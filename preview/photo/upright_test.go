package photo

import (
	"fmt"
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The eight orientations on a picture of 3 × 2 pixels, drawn as letters.
// Oracle: the figures of the EXIF standard (CIPA DC-008, tag 274), by hand.
// Stored is always
//
//	A B C
//	D E F
var uprightLetters = [9]string{
	1: "ABC/DEF", 2: "CBA/FED", 3: "FED/CBA", 4: "DEF/ABC",
	5: "AD/BE/CF", 6: "DA/EB/FC", 7: "FC/EB/DA", 8: "CF/BE/AD",
}

func letters() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 3, 2))
	for i := range 6 {
		v := 40 * uint8(i+1)
		copy(img.Pix[4*i:], []uint8{v, v, v, 255})
	}
	return img
}

func spell(img *image.RGBA) (s string) {
	for y := range img.Rect.Dy() {
		if y > 0 {
			s += "/"
		}
		for x := range img.Rect.Dx() {
			s += string(rune('A' + img.RGBAAt(x, y).R/40 - 1))
		}
	}
	return s
}

func TestOrientation(t *testing.T) {
	plainPNG := pngBytes(t, letters())
	for o := 1; o <= 8; o++ {
		for name, b := range map[string][]byte{
			"png":     withChunks(plainPNG, chunk("eXIf", turnedExif(o))),
			"tiff":    tiffFile(3, 2, 8, rgb8(letters()), short(274, o)),
			"tiff 16": tiffFile(3, 2, 16, rgb16(letters()), short(274, o)),
		} {
			p := open(t, b)
			assert.Equal(t, uprightLetters[o], spell(p.RGBA()), "%s %d", name, o)
			assert.Equal(t, [2]int{p.W, p.H}, [2]int{p.Picture.W, p.Picture.H})
			assert.Equal(t, p.RGBA().Rect.Size(), image.Pt(p.W, p.H))
		}
	}
}

// turned is the oracle for larger pictures: plain indexing by the standard's
// words, one case each.
func turned(img *image.RGBA, o int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	size := image.Rect(0, 0, w, h)
	if o >= 5 {
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range h {
		for x := range w {
			to := [9]image.Point{
				1: {X: x, Y: y}, 2: {X: w - 1 - x, Y: y}, 3: {X: w - 1 - x, Y: h - 1 - y}, 4: {X: x, Y: h - 1 - y},
				5: {X: y, Y: x}, 6: {X: h - 1 - y, Y: x}, 7: {X: h - 1 - y, Y: w - 1 - x}, 8: {X: y, Y: w - 1 - x},
			}[o]
			out.SetRGBA(to.X, to.Y, img.RGBAAt(x, y))
		}
	}
	return out
}

// Lossy formats turn what was decoded, to the last bit, whatever the size
// (here no multiple of a band) and the number of threads.
func TestOrientationOfWholePictures(t *testing.T) {
	jpg := jpegBytes(t, panel().SubImage(image.Rect(0, 0, 251, 187)), 90)
	webp := fixture(t, "panel-lossless.webp")
	plainJPG, plainWebP := open(t, jpg).RGBA(), open(t, webp).RGBA()
	for o := 1; o <= 8; o++ {
		samePixels(t, turned(plainJPG, o), open(t, withSegments(jpg, exifSegment(turnedExif(o)))).RGBA(), fmt.Sprint("jpeg ", o))
		b := webpFile(webp, panelW, panelH, riffChunk("EXIF", turnedExif(o)))
		samePixels(t, turned(plainWebP, o), open(t, b).RGBA(), fmt.Sprint("webp ", o))
		b = webpFile(webp, panelW, panelH, riffChunk("EXIF", join([]byte("Exif\x00\x00"), turnedExif(o))))
		samePixels(t, turned(plainWebP, o), open(t, b).RGBA(), fmt.Sprint("webp with prefix ", o))
	}
}

// EXIF that makes no sense leaves the picture as it is, with a note.
func TestBrokenExif(t *testing.T) {
	jpg := jpegBytes(t, letters(), 100)
	loop := exifBlock(exifEntry{34665, 4, 1, 8}, exifEntry{274, 3, 1, 6})
	many := join([]byte("MM\x00*"), be32(8), be16(65535), make([]byte, 60))
	for name, c := range map[string]struct {
		block []byte
		note  bool
	}{
		"value 0":                     {turnedExif(0), false}, // "unknown" is legal
		"value 9":                     {turnedExif(9), true},
		"value 255":                   {turnedExif(255), true},
		"value 65535":                 {turnedExif(65535), true},
		"count 2³²−1":                 {exifBlock(exifEntry{274, 3, 1<<32 - 1, 6}), true},
		"text for a number":           {exifBlock(exifEntry{274, 2, 1, 6}), true},
		"directory outside":           {join([]byte("MM\x00*"), be32(1<<31)), true},
		"directory on the header":     {join([]byte("MM\x00*"), be32(0)), true},
		"65,535 entries":              {many, true},
		"cut":                         {turnedExif(6)[:15], true},
		"no byte order":               {[]byte("XX\x00*\x00\x00\x00\x08"), true},
		"empty":                       {[]byte{}, true},
		"only other entries":          {exifBlock(exifEntry{271, 2, 1, 0}), false},
		"colour directory is nowhere": {exifBlock(exifEntry{34665, 4, 1, 1 << 30}), false},
	} {
		p := open(t, withSegments(jpg, exifSegment(c.block)))
		assert.Equal(t, [2]int{3, 2}, [2]int{p.W, p.H}, name)
		if c.note {
			assert.Contains(t, codes(p.Notes), "orientation-unknown", name)
		} else {
			assert.NotContains(t, codes(p.Notes), "orientation-unknown", name)
		}
	}
	p := open(t, withSegments(jpg, exifSegment(loop)))
	assert.Equal(t, [2]int{2, 3}, [2]int{p.W, p.H}, "a directory that points at itself is read once")
}

// HEIF: turned by irot, mirrored by imir, once, and never by EXIF.
func TestHEIFOrientation(t *testing.T) {
	plain := open(t, fixture(t, "panel.heic")).RGBA()
	irot := func(quarter byte) []byte { return makeBox("irot", []byte{quarter}) }
	imir := func(axis byte) []byte { return makeBox("imir", []byte{axis}) }
	for name, c := range map[string]struct {
		props [][]byte
		o     int // the EXIF orientation that means the same
	}{
		"as stored":               {nil, 1},
		"a quarter anticlockwise": {[][]byte{irot(1)}, 8},
		"half":                    {[][]byte{irot(2)}, 3},
		"three quarters":          {[][]byte{irot(3)}, 6},
		"mirrored, top to bottom": {[][]byte{imir(0)}, 4},
		"mirrored, side to side":  {[][]byte{imir(1)}, 2},
	} {
		got := open(t, rewrapped(t, "panel.heic", c.props...))
		closePixels(t, turned(plain, c.o), got.RGBA(), name)
		if c.o >= 5 {
			assert.Equal(t, [2]int{panelH, panelW}, [2]int{got.W, got.H}, name)
		}
	}
	exif := open(t, fixture(t, "panel-exif.heic"))
	assert.Equal(t, [2]int{panelW, panelH}, [2]int{exif.W, exif.H}, "EXIF says turned, but that is not how HEIF says it")
}

// closePixels leaves out the corner that the decoder spoils and this package
// mends with neighbours; elsewhere not a bit may differ.
func closePixels(t testing.TB, want, got *image.RGBA, name string) {
	t.Helper()
	require.Equal(t, want.Rect, got.Rect, name)
	count := 0
	for i := range want.Pix {
		if want.Pix[i] != got.Pix[i] {
			count++
		}
	}
	assert.LessOrEqual(t, count, 4*2*mended, name)
}

// A grid of four pictures is put together, cut to size and turned.
func TestHEIFGrid(t *testing.T) {
	one := open(t, fixture(t, "panel.heic")).RGBA()
	p := open(t, gridFile(t, 2*panelW-16, 2*panelH-32))
	require.Equal(t, [2]int{2*panelW - 16, 2*panelH - 32}, [2]int{p.W, p.H})
	assert.Equal(t, one.RGBAAt(200, 100), p.RGBA().RGBAAt(panelW+200, 100))
	assert.Equal(t, one.RGBAAt(70, 30), p.RGBA().RGBAAt(panelW+70, panelH+30))
	p = open(t, gridFile(t, 2*panelW, 2*panelH, makeBox("irot", []byte{3})))
	assert.Equal(t, [2]int{2 * panelH, 2 * panelW}, [2]int{p.W, p.H})
}
