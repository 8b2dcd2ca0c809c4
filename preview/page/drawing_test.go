package page

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A drawn layout: 6 × 5 tiles of 48 px, 8 px apart, on white paper.
const (
	drawnW, drawnH = 400, 344
	drawnX, drawnY = 32, 32 // the first tile's corner
	drawnTile      = 48
	drawnPitch     = drawnTile + 8
)

// drawnPhoto is it as PNG.
func drawnPhoto(t *testing.T) []byte { return onPaper(t, color.RGBA{232, 230, 226, 255}) }

// onPaper is it on a paper, with a little noise, so that no two pixels are alike.
func onPaper(t *testing.T, paper color.RGBA) []byte {
	t.Helper()
	colours := []color.RGBA{{40, 90, 110, 255}, {180, 120, 60, 255}, {60, 120, 80, 255}}
	r := rand.New(rand.NewPCG(1, 2))
	img := image.NewRGBA(image.Rect(0, 0, drawnW, drawnH))
	for y := range drawnH {
		for x := range drawnW {
			c := paper
			if i, j := (x-drawnX)/drawnPitch, (y-drawnY)/drawnPitch; x >= drawnX && y >= drawnY && i < 6 && j < 5 &&
				(x-drawnX)%drawnPitch < drawnTile && (y-drawnY)%drawnPitch < drawnTile {
				c = colours[(i+2*j)%3]
			}
			n := uint8(r.IntN(9))
			img.SetRGBA(x, y, color.RGBA{c.R + n, c.G + n, c.B + n, 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// plainPaper is paper with nothing on it, as PNG.
func plainPaper(t *testing.T) []byte {
	img := image.NewGray(image.Rect(0, 0, 200, 200))
	for i := range img.Pix {
		img.Pix[i] = 200 + uint8(i%3)
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}
