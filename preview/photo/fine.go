package photo

import (
	"image"
	"image/color"

	"gapshade/colormath"
	"gapshade/colormath/icc"
)

// linearFine reads a picture of 16 bits per channel, or with transparency,
// straight into linear light. See-through parts are laid over white, in linear
// light; seen reports whether there were any.
func linearFine(img image.Image, t turn, p *icc.Profile, threads int) (pic *colormath.Picture, seen bool) {
	r := img.Bounds()
	pic = colormath.NewPicture(t.w, t.h)
	at := fineReader(img)
	f := newFine(p)
	clear := make([]bool, r.Dy())
	colormath.Rows(r.Dy(), threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range r.Dx() {
				c := at(r.Min.X+x, r.Min.Y+y)
				clear[y] = clear[y] || c.A != 0xffff
				f.put(pic.Pix[3*(t.base+x*t.dx+y*t.dy):], c)
			}
		}
	})
	for _, c := range clear {
		seen = seen || c
	}
	return pic, seen
}

// fine is a profile made ready for 16-bit codes.
type fine struct {
	curves *[3][]float32
	m      [9]float32
}

// newFine builds the tables: 65,536 entries per channel, instead of a
// power function for every pixel.
func newFine(p *icc.Profile) *fine {
	if p.SRGB() {
		p = nil
	}
	return &fine{p.Curves(65535), p.Matrix()}
}

// put writes one pixel: tables, matrix, then white behind what is see-through.
func (f *fine) put(to []float32, c color.NRGBA64) {
	r, g, b := f.curves[0][c.R], f.curves[1][c.G], f.curves[2][c.B]
	m, a := f.m, float32(c.A)/65535
	for i := range 3 {
		v := float32(float32(m[3*i]*r)+float32(m[3*i+1]*g)) + float32(m[3*i+2]*b)
		if c.A != 0xffff {
			v = float32(v*a) + (1 - a)
		}
		to[i] = v
	}
}

// fineReader gives straight (not premultiplied) 16-bit codes of any picture.
// The common kinds are read in place: the detour over image/color's interface
// allocates for every pixel.
func fineReader(img image.Image) func(x, y int) color.NRGBA64 {
	switch p := img.(type) {
	case *image.RGBA64: // decoders give this kind for opaque pictures only
		return func(x, y int) color.NRGBA64 { return straight(p.RGBA64At(x, y)) }
	case *image.NRGBA64:
		return p.NRGBA64At
	case *image.Gray16:
		return func(x, y int) color.NRGBA64 {
			v := p.Gray16At(x, y).Y
			return color.NRGBA64{R: v, G: v, B: v, A: 0xffff}
		}
	case *image.NRGBA:
		return func(x, y int) color.NRGBA64 {
			c := p.NRGBAAt(x, y)
			return color.NRGBA64{R: uint16(c.R) * 257, G: uint16(c.G) * 257, B: uint16(c.B) * 257, A: uint16(c.A) * 257}
		}
	}
	return func(x, y int) color.NRGBA64 {
		return color.NRGBA64Model.Convert(img.At(x, y)).(color.NRGBA64)
	}
}

// straight undoes premultiplied alpha.
func straight(c color.RGBA64) color.NRGBA64 {
	if c.A == 0xffff {
		return color.NRGBA64(c)
	}
	return color.NRGBA64Model.Convert(c).(color.NRGBA64)
}
