package photo

import (
	"image"

	"gapshade/colormath"
	"gapshade/colormath/icc"
)

// linearFromCodes takes upright 8-bit codes to linear light: one table per
// channel, then a 3 × 3 matrix where the space is not sRGB.
func linearFromCodes(codes *image.RGBA, p *icc.Profile, threads int) *colormath.Picture {
	pic := colormath.NewPicture(codes.Rect.Dx(), codes.Rect.Dy())
	t := newToLinear(p)
	colormath.Rows(pic.H, threads, func(y0, y1 int) {
		from, to := codes.Pix[y0*codes.Stride:y1*codes.Stride], pic.Pix[3*y0*pic.W:3*y1*pic.W]
		if p.SRGB() {
			t.look(to, from)
		} else {
			t.mix(to, from)
		}
	})
	return pic
}

// toLinear is a profile made ready for 8-bit codes.
type toLinear struct {
	r, g, b [256]float32
	m       [9]float32
}

// newToLinear builds the tables. A profile that counts as sRGB is replaced by
// sRGB itself: the codes are then used as they are everywhere.
func newToLinear(p *icc.Profile) *toLinear {
	if p.SRGB() {
		p = nil
	}
	c := p.Curves(255)
	t := &toLinear{m: p.Matrix()}
	copy(t.r[:], c[0])
	copy(t.g[:], c[1])
	copy(t.b[:], c[2])
	return t
}

// look is the whole work for sRGB: three tables.
func (t *toLinear) look(to []float32, from []uint8) {
	for len(from) >= 4 && len(to) >= 3 {
		to[0], to[1], to[2] = t.r[from[0]], t.g[from[1]], t.b[from[2]]
		from, to = from[4:], to[3:]
	}
}

// mix adds the matrix behind the tables.
func (t *toLinear) mix(to []float32, from []uint8) {
	m := t.m
	for len(from) >= 4 && len(to) >= 3 {
		r, g, b := t.r[from[0]], t.g[from[1]], t.b[from[2]]
		// The conversions forbid fused multiply-add, which some processors
		// would use: the same photo gives the same numbers on all of them.
		to[0] = float32(float32(m[0]*r)+float32(m[1]*g)) + float32(m[2]*b)
		to[1] = float32(float32(m[3]*r)+float32(m[4]*g)) + float32(m[5]*b)
		to[2] = float32(float32(m[6]*r)+float32(m[7]*g)) + float32(m[8]*b)
		from, to = from[4:], to[3:]
	}
}
