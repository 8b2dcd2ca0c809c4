package photo

import (
	"image"

	"gapshade/colormath"
	"gapshade/colormath/icc"
)

// Encode gives a picture as 8-bit sRGB, clipped to sRGB's gamut, every pixel
// opaque.
func Encode(pic *colormath.Picture, threads int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, pic.W, pic.H))
	colormath.Rows(pic.H, threads, func(y0, y1 int) {
		encodeRow(out.Pix[y0*out.Stride:y1*out.Stride], pic.Pix[3*y0*pic.W:3*y1*pic.W])
	})
	return out
}

// encodeRow clips to sRGB and rounds to 8 bits.
func encodeRow(to []uint8, from []float32) {
	for len(to) >= 4 && len(from) >= 3 {
		to[0], to[1], to[2], to[3] = colormath.Encode8(from[0]), colormath.Encode8(from[1]), colormath.Encode8(from[2]), 255
		to, from = to[4:], from[3:]
	}
}

// encodeCodes takes codes of another space to clipped 8-bit sRGB, row by row,
// without the whole linear picture.
func encodeCodes(codes *image.RGBA, p *icc.Profile, threads int) *image.RGBA {
	out := image.NewRGBA(codes.Rect)
	t := newToLinear(p)
	colormath.Rows(codes.Rect.Dy(), threads, func(y0, y1 int) {
		line := make([]float32, 3*codes.Rect.Dx())
		for y := y0; y < y1; y++ {
			t.mix(line, codes.Pix[y*codes.Stride:(y+1)*codes.Stride])
			encodeRow(out.Pix[y*out.Stride:(y+1)*out.Stride], line)
		}
	})
	return out
}
