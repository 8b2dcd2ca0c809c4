package page

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
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

// roundPhoto is a round layout on white paper, ten tiles across, as PNG.
func roundPhoto(t *testing.T) []byte {
	return laidOn(t, 2*drawnX+10*drawnPitch, 2*drawnY+10*drawnPitch, color.RGBA{232, 230, 226, 255}, func(i, j int) bool { return math.Hypot(float64(i)-4.5, float64(j)-4.5) < 5.2 })
}

// onPaper is the layout of 6 × 5 on a paper.
func onPaper(t *testing.T, paper color.RGBA) []byte {
	return laidOn(t, drawnW, drawnH, paper, func(i, j int) bool { return i < 6 && j < 5 })
}

// laidOn is a layout on a paper, with a little noise, so that no two pixels are alike.
func laidOn(t *testing.T, w, h int, paper color.RGBA, laid func(i, j int) bool) []byte {
	t.Helper()
	colours := []color.RGBA{{40, 90, 110, 255}, {180, 120, 60, 255}, {60, 120, 80, 255}}
	r := rand.New(rand.NewPCG(1, 2))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := paper
			if i, j := (x-drawnX)/drawnPitch, (y-drawnY)/drawnPitch; x >= drawnX && y >= drawnY && laid(i, j) &&
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
