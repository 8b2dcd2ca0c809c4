package photo

import (
	"fmt"
	"image"
	"image/color"
)

// Tiny pictures for tests of single rules.

func onePixel(r, g, b uint8) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 1, 1))
	img.SetRGBA(0, 0, color.RGBA{r, g, b, 255})
	return img
}

func greyPixels(v uint8) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, 8, 8))
	for i := range img.Pix {
		img.Pix[i] = v
	}
	return img
}

func greyRow(vs ...uint8) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, len(vs), 1))
	copy(img.Pix, vs)
	return img
}

func sprintRGB(p *Photo) string { return fmt.Sprint(p.RGBA().Pix[:3]) }

// exifColour is an EXIF block with a colour space (tag 40961) and, when not
// empty, an interoperability index.
func exifColour(space int, interop string) []byte {
	const sub = 8 + 2 + 12 + 4
	b := exifBlock(exifEntry{34665, 4, 1, sub})
	n := 1
	if interop != "" {
		n = 2
	}
	b = join(b, be16(n), be16(40961), be16(3), be32(1), be16(space), be16(0))
	if interop != "" {
		at := len(b) + 12 + 4
		b = join(b, be16(40965), be16(4), be32(1), be32(at), be32(0))
		return join(b, be16(1), be16(1), be16(2), be32(4), []byte(interop+"\x00"), be32(0))
	}
	return join(b, be32(0))
}
