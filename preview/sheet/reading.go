package sheet

import (
	"image"

	"github.com/disintegration/imaging"
)

// Reading reduces a finished sheet to w px wide for reading on a page; a sheet
// that is no wider comes back as it is. Lanczos on the stored codes keeps the
// captions crisp, and no colour is judged on this copy: pictures that are, go
// through Thumb.
func Reading(img *image.RGBA, w int) *image.RGBA {
	if img.Bounds().Dx() <= w {
		return img
	}
	small := imaging.Resize(img, w, 0, imaging.Lanczos)
	return &image.RGBA{Pix: small.Pix, Stride: small.Stride, Rect: small.Rect} // opaque, so the bytes are the same
}
