package photo

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// phonePhoto is a 12-megapixel JPEG (4000 × 3000, quality 92, about 3 MB) of
// tiles with grain, a light gradient and noise, in Display P3 codes.
func phonePhoto(t testing.TB, extra ...[]byte) []byte {
	const w, h = 4000, 3000
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(1, 1))
	for y := range h {
		for x := range w {
			c := panelAt(x/10%panelW, y/10%panelH)
			light := 200 + (x+y)/140 // 200 … 250 of 256
			n := int(r.Uint32()>>28) - 8
			p := img.Pix[img.PixOffset(x, y):]
			for i, v := range [3]uint8{c.R, c.G, c.B} {
				p[i] = uint8(min(max(int(v)*light/256+n, 0), 255))
			}
			p[3] = 255
		}
	}
	return withSegments(jpegBytes(t, img, 92), extra...)
}

// floor is F, the cost of the pictures' mere way in and out that all bars are
// measured by: decode once, copy to RGBA, encode six at quality 90, all by the
// standard library on one thread.
func floor(t testing.TB, jpg []byte) time.Duration {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	start := time.Now()
	img, err := jpeg.Decode(bytes.NewReader(jpg))
	require.NoError(t, err)
	rgba := image.NewRGBA(img.Bounds())
	draw.Draw(rgba, rgba.Rect, img, image.Point{}, draw.Src)
	for range 6 {
		require.NoError(t, jpeg.Encode(io.Discard, rgba, &jpeg.Options{Quality: 90}))
	}
	return time.Since(start)
}

// BenchmarkOpenP3 reads a 12-megapixel Display P3 JPEG into linear light, and
// reports the time as a share of F (the bar is 0.25); "turned" stands as
// phones hold it, orientation 6.
func BenchmarkOpenP3(b *testing.B) {
	for name, extra := range map[string][][]byte{
		"upright": iccSegments(p3Profile(), 1),
		"turned":  append(iccSegments(p3Profile(), 1), exifSegment(turnedExif(6))),
		"sRGB":    nil,
	} {
		b.Run(name, func(b *testing.B) {
			jpg := phonePhoto(b, extra...)
			least := floor(b, jpg)
			fastest := time.Hour
			for b.Loop() {
				start := time.Now()
				open(b, jpg)
				fastest = min(fastest, time.Since(start))
			}
			least = min(least, floor(b, jpg))
			b.ReportMetric(float64(least.Milliseconds()), "F-ms")
			b.ReportMetric(float64(fastest)/float64(least), "of-F")
			b.ReportMetric(12/fastest.Seconds(), "MP/s")
		})
	}
}

// BenchmarkRGBA makes the 8-bit sRGB picture of a Display P3 photo.
func BenchmarkRGBA(b *testing.B) {
	p := open(b, phonePhoto(b, iccSegments(p3Profile(), 1)...))
	for b.Loop() {
		encodeCodes(p.codes, p.profile, 0)
	}
	b.ReportMetric(12*float64(b.N)/b.Elapsed().Seconds(), "MP/s")
}
