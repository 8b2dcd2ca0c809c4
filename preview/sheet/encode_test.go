package sheet

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// segments lists the markers of a JPEG up to the scan (ITU-T T.81, B.1.1).
func segments(t *testing.T, b []byte) map[byte][]byte {
	t.Helper()
	require.Equal(t, []byte{0xff, 0xd8}, b[:2], "start of image")
	out := map[byte][]byte{}
	for i := 2; ; {
		require.Equal(t, byte(0xff), b[i])
		n := int(binary.BigEndian.Uint16(b[i+2:]))
		out[b[i+1]] = b[i+4 : i+2+n]
		if b[i+1] == 0xda {
			return out
		}
		i += 2 + n
	}
}

func gradient(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(x), uint8(y), uint8(x ^ y), 255})
		}
	}
	return img
}

func TestJPEGCarriesOnlyAProfile(t *testing.T) {
	var buf bytes.Buffer
	require.NoError(t, JPEG(&buf, gradient(40, 30), 90))
	seg := segments(t, buf.Bytes())
	require.Contains(t, seg, byte(0xe2), "APP2")
	assert.Equal(t, "ICC_PROFILE\x00\x01\x01", string(seg[0xe2][:14]), "one chunk of one")
	assert.Equal(t, srgbProfile(), seg[0xe2][14:])
	assert.NotContains(t, seg, byte(0xe1), "no EXIF and no XMP")
	assert.NotContains(t, seg, byte(0xfe), "no comment")
}

// The spliced file must decode to the very pixels of the plain one.
func TestJPEGKeepsTheScan(t *testing.T) {
	img := gradient(40, 30)
	var ours, plain bytes.Buffer
	require.NoError(t, JPEG(&ours, img, 90))
	require.NoError(t, jpeg.Encode(&plain, img, &jpeg.Options{Quality: 90}))
	assert.Equal(t, plain.Len()+len(iccSegment()), ours.Len())
	got, err := jpeg.Decode(&ours)
	require.NoError(t, err)
	want, err := jpeg.Decode(&plain)
	require.NoError(t, err)
	assert.Equal(t, want, got)
}

func TestJPEGRefusesImpossibleSizes(t *testing.T) {
	assert.Error(t, JPEG(&bytes.Buffer{}, image.NewRGBA(image.Rect(0, 0, 0, 5)), 90))
	assert.Error(t, JPEG(&bytes.Buffer{}, image.NewAlpha(image.Rect(0, 0, 65536, 1)), 90))
}

// The splicer must not depend on how the encoder cuts its writes.
func TestSplicerByteByByte(t *testing.T) {
	var buf bytes.Buffer
	s := &splicer{w: &buf, insert: []byte("[]")}
	for _, b := range []byte("\xff\xd8rest") {
		_, err := s.Write([]byte{b})
		require.NoError(t, err)
	}
	assert.Equal(t, "\xff\xd8[]rest", buf.String())
}

// Oracle: ICC.1:2010. Tag offsets stand on multiples of four inside the file,
// and white (the sum of the colorants) is the connection space's D50, so that
// equal R, G, B stay neutral.
func TestProfileIsWellFormed(t *testing.T) {
	p := srgbProfile()
	be := binary.BigEndian
	assert.Equal(t, uint32(len(p)), be.Uint32(p))
	assert.Equal(t, "acsp", string(p[36:40]))
	assert.Less(t, len(p), 600)
	seen := map[string]bool{}
	for i := range int(be.Uint32(p[128:])) {
		e := p[132+12*i:]
		at, n := be.Uint32(e[4:]), be.Uint32(e[8:])
		assert.Zero(t, at%4)
		assert.LessOrEqual(t, int(at+n), len(p))
		seen[string(e[:4])] = true
	}
	for _, need := range []string{"desc", "cprt", "wtpt", "chad", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"} {
		assert.True(t, seen[need], need)
	}
	for k := range 3 {
		assert.Equal(t, d50[k], srgbColumns[0][k]+srgbColumns[1][k]+srgbColumns[2][k])
	}
}

// The colorants re-derived by colormath: a full primary, through Lab under D50
// and back to XYZ. Two steps of s15Fixed16 allow for its rounding and for the
// step that was added to blue.
func TestProfileColorantsFollowFromThePrimaries(t *testing.T) {
	for i, c := range []colormath.LinearRGB{{R: 1}, {G: 1}, {B: 1}} {
		v := c.Lab().XYZ(colormath.D50ICC)
		for k, want := range []float64{v.X, v.Y, v.Z} {
			assert.InDelta(t, want, float64(srgbColumns[i][k])/65536, 2.0/65536, "%d %d", i, k)
		}
	}
}

func BenchmarkJPEG12MP(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	for i := range img.Pix {
		img.Pix[i] = uint8(i*7) >> 1
	}
	for b.Loop() {
		require.NoError(b, JPEG(&bytes.Buffer{}, img, 90))
	}
}
