package photo

import (
	"image"
	"image/draw"

	"gapshade/colormath"
)

// plain tells whether a decoded picture is opaque with 8 bits per channel, so
// that image.RGBA holds all of it.
func plain(img image.Image) bool {
	switch p := img.(type) {
	case *image.YCbCr, *image.Gray, *image.CMYK:
		return true
	case *image.RGBA:
		return p.Opaque()
	case *image.NRGBA:
		return p.Opaque()
	case *image.Paletted:
		return p.Opaque()
	}
	return false
}

// uprightCodes copies a plain picture into an upright RGBA, still in its own
// colour space. The conversion from Y'CbCr is the standard library's, so the
// codes are those that every Go program sees.
func uprightCodes(img image.Image, t turn, threads int) *image.RGBA {
	r := img.Bounds()
	// Turning happens on bytes, four per pixel, before linear light makes
	// twelve of them: a quarter turn jumps through memory, and that counts.
	out := image.NewRGBA(image.Rect(0, 0, t.w, t.h))
	// Bands start at even rows, as two rows may share their chroma.
	colormath.Rows((r.Dy()+band-1)/band, threads, func(b0, b1 int) {
		y0, y1 := b0*band, min(b1*band, r.Dy())
		if t.isUprightStore {
			part := image.Rect(0, y0, r.Dx(), y1)
			draw.Draw(out, part, img, r.Min.Add(part.Min), draw.Src)
			return
		}
		strip := image.NewRGBA(image.Rect(0, 0, r.Dx(), band))
		for y := y0; y < y1; y += band {
			n := min(band, y1-y)
			draw.Draw(strip, image.Rect(0, 0, r.Dx(), n), img, r.Min.Add(image.Pt(0, y)), draw.Src)
			t.place(out, strip.Pix[:n*strip.Stride], y, n)
		}
	})
	return out
}
