package preview

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"

	"gapshade/colormath"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
)

// The drawn layout in formats that Go can't write lies in testdata/photos; the
// README there says which program made them from what this writes with
// GAPSHADE_SOURCES=folder.
func TestLayoutSources(t *testing.T) {
	dir := os.Getenv("GAPSHADE_SOURCES")
	if dir == "" {
		t.Skip("set GAPSHADE_SOURCES to a folder")
	}
	upright := lensed(t)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "layout.png"), pngOf(t, upright), 0o644))
	turned := image.NewRGBA(image.Rect(0, 0, drawnH, drawnW))
	for y := range drawnH {
		for x := range drawnW {
			turned.SetRGBA(y, drawnW-1-x, upright.RGBAAt(x, y)) // orientation 6 turns this a quarter clockwise
		}
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "layout-turned.png"), pngOf(t, turned), 0o644))
	// One directory, one SHORT: tag 274, orientation 6.
	exif := "MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "turned.exif"), []byte(exif), 0o644))
}

// lensed is the drawn layout through a lens of σ 0.7 px. Noise that differs from
// one pixel to the next in colour, as the bare drawing has, no camera's file
// holds, and every lossy format drops it: that would compare encoders.
func lensed(t *testing.T) *image.RGBA { return photo.Encode(blurred(drawnPhoto(t).Linear(), .7), 0) }

func pngOf(t *testing.T, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// displayP3 writes the layout as a JPEG with a Display P3 profile: the phone's
// usual file. The matrix is linear sRGB to linear Display P3 by the primaries of
// both; the profile holds the colorants under D50 (SMPTE EG 432-1, Bradford).
func displayP3(t *testing.T, from *image.RGBA) []byte {
	t.Helper()
	m := [3][3]float64{{0.8224619688, 0.1775380312, 0}, {0.0331941989, 0.9668058011, 0}, {0.0170826307, 0.0723974407, 0.9105199286}}
	img := image.NewRGBA(from.Rect)
	for i := 0; i < len(from.Pix); i += 4 {
		p := from.Pix[i:]
		r, g, b := float64(colormath.Decode8(p[0])), float64(colormath.Decode8(p[1])), float64(colormath.Decode8(p[2]))
		for c := range m {
			img.Pix[i+c] = colormath.Encode8(float32(m[c][0]*r + m[c][1]*g + m[c][2]*b))
		}
		img.Pix[i+3] = 255
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	body := append([]byte("ICC_PROFILE\x00\x01\x01"), p3Profile()...)
	segment := binary.BigEndian.AppendUint16([]byte{0xff, 0xe2}, uint16(len(body)+2))
	return slices.Concat(b.Bytes()[:2], segment, body, b.Bytes()[2:])
}

// p3Profile is a version 4 matrix profile (ICC.1:2022, clause 7).
func p3Profile() []byte {
	be := binary.BigEndian
	fixed := func(vs ...float64) (out []byte) {
		for _, v := range vs {
			out = be.AppendUint32(out, uint32(int32(math.Round(v*65536))))
		}
		return out
	}
	xyz := func(x, y, z float64) []byte { return append([]byte("XYZ \x00\x00\x00\x00"), fixed(x, y, z)...) }
	curve := append([]byte("para\x00\x00\x00\x00\x00\x03\x00\x00"), fixed(2.4, 1/1.055, .055/1.055, 1/12.92, .04045)...)
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", []byte("desc\x00\x00\x00\x00\x00\x00\x00\x0bDisplay P3\x00\x00\x00")},
		{"rXYZ", xyz(0.5151187, 0.2411892, -0.0010505)}, {"gXYZ", xyz(0.2919778, 0.6922441, 0.0418791)}, {"bXYZ", xyz(0.1571035, 0.0665668, 0.7840713)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve},
	}
	b := make([]byte, 128)
	b[8] = 4
	copy(b[12:], "mntrRGB XYZ ")
	copy(b[36:], "acsp")
	copy(b[68:], fixed(.9642, 1, .8249))
	b = be.AppendUint32(b, uint32(len(tags)))
	at := len(b) + 12*len(tags)
	var body []byte
	for _, tag := range tags {
		b = be.AppendUint32(be.AppendUint32(append(b, tag.name...), uint32(at+len(body))), uint32(len(tag.data)))
		body = append(body, tag.data...)
	}
	b = append(b, body...)
	be.PutUint32(b, uint32(len(b)))
	return b
}

// deepTIFF writes the layout as a TIFF of 16 bits.
func deepTIFF(t *testing.T, from *image.RGBA) []byte {
	t.Helper()
	img := image.NewNRGBA64(from.Rect)
	for i, v := range from.Pix {
		img.Pix[2*i], img.Pix[2*i+1] = v, v
	}
	var b bytes.Buffer
	require.NoError(t, tiff.Encode(&b, img, nil))
	return b.Bytes()
}

// The same panel as a phone's P3 JPEG, a turned WebP, a TIFF of 16 bits, a JPEG in
// CMYK and a HEIC gives previews that are the same to the eye: mean ΔE00 1.0
// between any two, drawn joints included.
func TestPreviewsAgreeInEveryFormat(t *testing.T) {
	fixture := func(name string) []byte {
		b, err := os.ReadFile(filepath.Join("..", "testdata", "photos", name))
		require.NoError(t, err)
		return b
	}
	upright := lensed(t)
	files := []struct {
		format, profile string
		b               []byte
	}{
		{"jpeg", "Display P3", displayP3(t, upright)},
		{"webp", "sRGB", fixture("layout-turned.webp")},
		{"tiff", "sRGB", deepTIFF(t, upright)},
		{"jpeg", "", fixture("layout-cmyk.jpg")},
		{"heic", "", fixture("layout.heic")},
		{"png", "sRGB", pngOf(t, upright)},
	}
	s := sizedSettings(t)
	s.Shades = slices.DeleteFunc(slices.Clone(s.Shades), func(g grout.Shade) bool { return g.ID != "mid-true" })
	var drawn [][]colormath.Lab
	for _, f := range files {
		ph, err := photo.Open(t.Context(), "layout", bytes.NewReader(f.b), photo.Limits{})
		require.NoError(t, err)
		require.Equal(t, f.format, ph.Format)
		require.Contains(t, ph.Profile, f.profile)
		p, err := Make(t.Context(), ph, s)
		require.NoError(t, err, f.format)
		assert.Len(t, p.Map.Tiles, drawnTiles, f.format)
		drawn = append(drawn, labs(p.Draw(0)))
	}
	for i := range drawn {
		for j := range i {
			sum := 0.0
			for k := range drawn[i] {
				sum += colormath.DeltaE2000(drawn[i][k], drawn[j][k])
			}
			mean := sum / float64(len(drawn[i]))
			t.Logf("%s %s against %s %s: mean ΔE00 %.3f", files[i].format, files[i].profile, files[j].format, files[j].profile, mean)
			assert.LessOrEqual(t, mean, 1.0, "%d against %d", i, j)
		}
	}
}

// labs are the picture's colours, every third pixel of every third row.
func labs(img *image.RGBA) (out []colormath.Lab) {
	for y := 0; y < img.Rect.Dy(); y += 3 {
		for x := 0; x < img.Rect.Dx(); x += 3 {
			p := img.RGBAAt(x, y)
			out = append(out, colormath.LinearRGB{R: float64(colormath.Decode8(p.R)), G: float64(colormath.Decode8(p.G)), B: float64(colormath.Decode8(p.B))}.Lab())
		}
	}
	return out
}
