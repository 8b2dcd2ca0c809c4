package imgdiff

import (
	"image"
	"image/color"

	"gapshade/colormath"
)

// FromImage reads any image as sRGB, 16 bits per channel, into linear light.
// Pixels that are not opaque are taken as they stand over black.
func FromImage(m image.Image) *colormath.Picture {
	b := m.Bounds()
	p := colormath.NewPicture(b.Dx(), b.Dy())
	for y := range p.H {
		for x := range p.W {
			r, g, b, _ := m.At(b.Min.X+x, b.Min.Y+y).RGBA()
			i := 3 * (y*p.W + x)
			p.Pix[i] = colormath.Decode16(uint16(r))
			p.Pix[i+1] = colormath.Decode16(uint16(g))
			p.Pix[i+2] = colormath.Decode16(uint16(b))
		}
	}
	return p
}

// ToImage writes a linear picture as 8-bit sRGB, clipped.
func ToImage(p *colormath.Picture) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, p.W, p.H))
	for i := range p.W * p.H {
		for c := range 3 {
			m.Pix[4*i+c] = colormath.Encode8(p.Pix[3*i+c])
		}
		m.Pix[4*i+3] = 255
	}
	return m
}

// Image draws the difference: black where there is none, grey from dark to
// middling up to the threshold, red above it, brighter with the size and full
// at 20.
func (d Diff) Image() *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, d.W, d.H))
	for i, de := range d.DE {
		m.SetNRGBA(i%d.W, i/d.W, d.mark(float64(de)))
	}
	return m
}

func (d Diff) mark(de float64) color.NRGBA {
	switch {
	case de == 0:
		return color.NRGBA{A: 255}
	case de <= d.Threshold:
		v := uint8(40 + 80*de/d.Threshold)
		return color.NRGBA{v, v, v, 255}
	}
	return color.NRGBA{R: uint8(155 + 100*min(de/20, 1)), A: 255}
}
