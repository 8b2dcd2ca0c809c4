package photo

import (
	"image"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSources writes the pictures that the encoders of other programs turn
// into the fixtures, into the folder named by GAPSHADE_SOURCES; README.md in
// testdata/photos has the commands. Without the variable there is nothing to
// do.
func TestSources(t *testing.T) {
	folder := os.Getenv("GAPSHADE_SOURCES")
	if folder == "" {
		t.Skip("only to make the fixtures anew")
	}
	write := func(name string, b []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), b, 0o644))
	}
	write("p3.png", withChunks(pngBytes(t, toP3(panel())), iccChunk(p3Profile())))
	write("turned.jpg", withSegments(jpegBytes(t, panel(), 98), exifSegment(turnedExif(6))))
	write("deep.png", pngBytes(t, deep(panel())))
	write("limited.png", pngBytes(t, limitedCodes(panel())))
}

// limitedCodes gives the picture whose full-range BT.601 codes, as heif-enc
// makes them, are the limited-range BT.709 codes of img: the stream then holds
// limited codes, and a test can state so in an nclx box, which this heif-enc
// does not write.
func limitedCodes(img *image.RGBA) *image.RGBA {
	out := image.NewRGBA(img.Rect)
	for i := 0; i < len(img.Pix); i += 4 {
		r, g, b := float64(img.Pix[i])/255, float64(img.Pix[i+1])/255, float64(img.Pix[i+2])/255
		luma := 0.2126*r + 0.7152*g + 0.0722*b // BT.709-6 item 3.2
		y, u, v := 16+219*luma, 224*(b-luma)/1.8556, 224*(r-luma)/1.5748
		for c, code := range [3]float64{y + 1.402*v, y - 0.344136*u - 0.714136*v, y + 1.772*u} { // BT.601-7
			out.Pix[i+c] = uint8(min(max(code+0.5, 0), 255))
		}
		out.Pix[i+3] = 255
	}
	return out
}
