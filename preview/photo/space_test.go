package photo

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/colormath/icc"
)

// Whose word counts: each case is one PNG or JPEG pixel of P3 (200, 180, 160),
// and the answer in sRGB tells which space was taken.
// Oracle: (204, 179, 157) from the published matrices of both spaces.
func TestOrderOfTrust(t *testing.T) {
	const asP3, asSRGB = "[204 179 157]", "[200 180 160]"
	img := pngBytes(t, onePixel(200, 180, 160))
	p3 := iccChunk(p3Profile())
	lut := iccChunk(iccProfile("RGB ", map[string][]byte{"A2B0": make([]byte, 40)}, "A2B0"))
	cmyk := iccChunk(iccProfile("CMYK", map[string][]byte{"A2B0": make([]byte, 40)}, "A2B0"))
	grey := iccChunk(iccProfile("GRAY", map[string][]byte{"kTRC": []byte("curv\x00\x00\x00\x00\x00\x00\x00\x00")}, "kTRC"))
	hlg := chunk("cICP", []byte{9, 18, 0, 1})
	for _, c := range []struct {
		name    string
		b       []byte
		want    string
		profile string
		note    string
	}{
		{"nothing said", img, asSRGB, "sRGB (assumed)", "profile-assumed"},
		{"profile", withChunks(img, p3), asP3, "Display P3", ""},
		{"cICP", withChunks(img, chunk("cICP", []byte{12, 13, 0, 1})), asP3, "Display P3", ""},
		{"cICP before profile", withChunks(img, chunk("cICP", []byte{1, 13, 0, 1}), p3), asSRGB, "sRGB", ""},
		{"cICP that is not known, then the profile", withChunks(img, hlg, p3), asP3, "Display P3", ""},
		{"cICP that is not known", withChunks(img, hlg), asSRGB, "sRGB (assumed)", "profile-declined"},
		{"sRGB chunk", withChunks(img, chunk("sRGB", []byte{0})), asSRGB, "sRGB", ""},
		{"profile before sRGB chunk", withChunks(img, chunk("sRGB", []byte{0}), p3), asP3, "Display P3", ""},
		{"gamma of sRGB", withChunks(img, chunk("gAMA", be32(45455))), asSRGB, "sRGB (assumed)", "profile-assumed"},
		{"tables", withChunks(img, lut), asSRGB, "sRGB (assumed)", "profile-declined"},
		{"printing inks", withChunks(img, cmyk), asSRGB, "sRGB (assumed)", "profile-declined"},
		{"grey profile on a colour photo", withChunks(img, grey), asSRGB, "sRGB (assumed)", "profile-declined"},
		{"rubbish", withChunks(img, iccChunk([]byte("rubbish"))), asSRGB, "sRGB (assumed)", "profile-declined"},
		{"EXIF says sRGB", withChunks(img, chunk("eXIf", exifColour(1, ""))), asSRGB, "sRGB", ""},
		{"profile before EXIF", withChunks(img, chunk("eXIf", exifColour(1, "")), p3), asP3, "Display P3", ""},
		{"EXIF says uncalibrated", withChunks(img, chunk("eXIf", exifColour(65535, "R98"))), asSRGB, "sRGB (assumed)", "profile-assumed"},
	} {
		p := open(t, c.b)
		assert.Equal(t, c.want, sprintRGB(p), c.name)
		assert.Equal(t, c.profile, p.Profile, c.name)
		if c.note == "" {
			assert.Empty(t, p.Notes, c.name)
		} else {
			assert.Equal(t, []string{c.note}, codes(p.Notes), c.name)
		}
	}
}

// EXIF's way to say Adobe RGB. Oracle: (180, 90, 60) is (205, 90, 56) in sRGB,
// from the published specification.
func TestExifAdobeRGB(t *testing.T) {
	p := open(t, withChunks(pngBytes(t, onePixel(180, 90, 60)), chunk("eXIf", exifColour(65535, "R03"))))
	assert.Equal(t, "[205 90 56]", sprintRGB(p))
	assert.Equal(t, "Adobe RGB (1998) (by EXIF)", p.Profile)
}

// PNG's own chunks: linear light and the primaries of BT.2020 as numbers.
func TestPNGGamma(t *testing.T) {
	p := open(t, withChunks(pngBytes(t, onePixel(51, 51, 51)), chunk("gAMA", be32(100000))))
	assert.InDelta(t, 0.2, p.Picture.At(0, 0).G, 1e-6)
	var xy []byte
	for _, v := range []int{31270, 32900, 70800, 29200, 17000, 79700, 13100, 4600} {
		xy = join(xy, be32(v))
	}
	p = open(t, withChunks(pngBytes(t, onePixel(0, 255, 0)), chunk("gAMA", be32(100000)), chunk("cHRM", xy)))
	// Column of green in the matrix BT.2020 to BT.709 of ITU-R BT.2087-0 annex.
	got := p.Picture.At(0, 0)
	assert.InDeltaSlice(t, []float64{-0.5876, 1.1329, -0.1006}, []float64{got.R, got.G, got.B}, 1e-3)
}

// A grey JPEG with a grey profile: its own curve, three equal channels.
func TestGreyProfile(t *testing.T) {
	b := join([]byte("curv\x00\x00\x00\x00"), be32(1), be16(0x0100)) // power 1: linear
	profile := iccProfile("GRAY", map[string][]byte{"kTRC": b}, "kTRC")
	jpg := withSegments(jpegBytes(t, greyPixels(51), 100), iccSegments(profile, 1)...)
	c := open(t, jpg).Picture.At(0, 0)
	assert.InDelta(t, 0.2, c.R, 1e-6)
	assert.Equal(t, c.R, c.B)
}

// Pieces of a JPEG profile: any order is whole, a missing one is said.
func TestJPEGProfilePieces(t *testing.T) {
	jpg := jpegBytes(t, panel(), 90)
	pieces := iccSegments(p3Profile(), 1, 2, 3)
	assert.Equal(t, "Display P3", open(t, withSegments(jpg, pieces[2], pieces[0], pieces[1])).Profile)
	p := open(t, withSegments(jpg, pieces[0], pieces[2]))
	assert.Equal(t, "sRGB (assumed)", p.Profile)
	assert.Contains(t, codes(p.Notes), "profile-broken")
	huge := patched(p3Profile(), 0, 1<<32-1) // its own size, 2³²−1: not believed, not needed
	assert.Equal(t, "Display P3", open(t, withSegments(jpg, iccSegments(huge, 1)...)).Profile)
}

// Wide colours stay outside 0…1 inside, and are clipped only in RGBA.
func TestUnclippedInside(t *testing.T) {
	p := open(t, withChunks(pngBytes(t, onePixel(255, 0, 0)), iccChunk(p3Profile())))
	c := p.Picture.At(0, 0)
	// Oracle: reference/icc_expected_srgb.csv, first row.
	assert.InDeltaSlice(t, []float64{1.224940, -0.042057, -0.019638}, []float64{c.R, c.G, c.B}, 2e-3)
	assert.Equal(t, []uint8{255, 0, 0, 255}, p.RGBA().Pix)
}

// The tables and the plain formula agree on every code of every channel.
func TestTablesAgreeWithFormula(t *testing.T) {
	profile, err := icc.Parse(p3Profile())
	require.NoError(t, err)
	table := newToLinear(profile)
	var got [3]float32
	for v := range 256 {
		from := []uint8{uint8(v), uint8(255 - v), uint8(v * 7), 255}
		table.mix(got[:], from)
		want := profile.Linear(float64(from[0])/255, float64(from[1])/255, float64(from[2])/255)
		// float32 against float64: seven digits of numbers near 1.
		assert.InDeltaSlice(t, []float64{want.R, want.G, want.B}, []float64{float64(got[0]), float64(got[1]), float64(got[2])}, 1e-6)
	}
}

// One thread or many, whole or lean: the same numbers.
func TestThreadsAndLeanDoNotShow(t *testing.T) {
	b := withSegments(jpegBytes(t, toP3(panel()), 90), append(iccSegments(p3Profile(), 1), exifSegment(turnedExif(6)))...)
	want, err := Open(t.Context(), "x", bytes.NewReader(b), Limits{Threads: 1})
	require.NoError(t, err)
	for threads := 2; threads <= 5; threads++ {
		p, err := Open(t.Context(), "x", bytes.NewReader(b), Limits{Threads: threads, Lean: true})
		require.NoError(t, err)
		assert.Nil(t, p.Picture)
		require.True(t, equalPictures(want.Picture, p.Linear()))
		samePixels(t, want.RGBA(), p.RGBA(), "threads")
		small, f := want.Reduced(4000)
		lean, g := p.Reduced(4000)
		assert.Equal(t, f, g)
		require.True(t, equalPictures(small, lean))
		p.Forget()
		samePixels(t, want.RGBA(), p.RGBA(), "forgotten")
		require.True(t, equalPictures(linearFromCodes(want.RGBA(), nil, 1), p.Linear()))
	}
}

func equalPictures(a, b *colormath.Picture) bool {
	if a.W != b.W || a.H != b.H {
		return false
	}
	for i := range a.Pix {
		if a.Pix[i] != b.Pix[i] {
			return false
		}
	}
	return true
}

// Reduced averages in linear light. Oracle: black and white side by side make
// 0.5, and the narrow last column stands for itself.
func TestReduced(t *testing.T) {
	img := pngBytes(t, greyRow(0, 255, 255))
	p, f := open(t, img).Reduced(2)
	require.Equal(t, 2, f)
	require.Equal(t, [2]int{2, 1}, [2]int{p.W, p.H})
	assert.Equal(t, 0.5, p.At(0, 0).R)
	assert.Equal(t, 1.0, p.At(1, 0).R)
	p, f = open(t, img).Reduced(100)
	assert.Equal(t, 1, f)
	assert.Equal(t, 3, p.W)
}

// A cancelled run is not an error of the photo; a missed deadline is.
func TestContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Open(ctx, "x.jpg", bytes.NewReader(jpegBytes(t, panel(), 90)), Limits{})
	require.ErrorIs(t, err, context.Canceled)
	ctx, cancel = context.WithTimeout(t.Context(), 0)
	defer cancel()
	_, err = Open(ctx, "x.jpg", bytes.NewReader(jpegBytes(t, panel(), 90)), Limits{})
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, OverLimit, e.Kind)
	require.ErrorIs(t, err, context.DeadlineExceeded)
}
