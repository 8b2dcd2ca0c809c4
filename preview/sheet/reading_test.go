package sheet

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Arithmetic: a flat sheet stays flat, its shape is kept, and a small one is not
// enlarged.
func TestReading(t *testing.T) {
	grey := color.RGBA{R: 112, G: 112, B: 112, A: 255}
	img := image.NewRGBA(image.Rect(0, 0, 300, 200))
	draw.Draw(img, img.Bounds(), image.NewUniform(grey), image.Point{}, draw.Src)

	small := Reading(img, 150)
	assert.Equal(t, image.Rect(0, 0, 150, 100), small.Bounds())
	for _, p := range []image.Point{{}, {X: 75, Y: 50}, {X: 149, Y: 99}} {
		assert.Equal(t, grey, small.RGBAAt(p.X, p.Y))
	}
	assert.Same(t, img, Reading(img, 300))
}
