package photo

import (
	"image"

	"gapshade/colormath"
)

// ycc converts Y'CbCr to R'G'B' with a stated matrix and range, in 16.16
// fixed point. The standard library knows only JPEG's kind (BT.601, full
// range), and WebP and HEIF decoders hand over theirs as if it were that one.
type ycc struct {
	y              [256]int32
	rv, gu, gv, bu [256]int32
	gbr            bool // matrix 0: the planes are G, B, R themselves
}

// newYCC takes an H.273 matrix number (table 4); unknown ones count as 5,
// BT.601, which is also what decoders assume.
func newYCC(matrix int, full bool) *ycc {
	kr, kb := 0.299, 0.114 // ITU-R BT.601-7 §2.5.1
	switch matrix {
	case 1: // ITU-R BT.709-6 item 3.2
		kr, kb = 0.2126, 0.0722
	case 4: // FCC 1953
		kr, kb = 0.30, 0.11
	case 7: // SMPTE ST 240
		kr, kb = 0.212, 0.087
	case 9: // ITU-R BT.2020-2 table 4
		kr, kb = 0.2627, 0.0593
	}
	foot, ys, cs := 0.0, 1.0, 1.0
	if !full { // 8-bit codes 16…235 and 16…240, BT.601-7 §2.5.3
		foot, ys, cs = 16, 255.0/219, 255.0/224
	}
	kg := 1 - kr - kb
	t := &ycc{gbr: matrix == 0}
	for i := range 256 {
		c := cs * float64(i-128)
		t.y[i] = fixed(ys*(float64(i)-foot)) + 1<<15 // half a code, for rounding
		t.rv[i] = fixed(2 * (1 - kr) * c)
		t.bu[i] = fixed(2 * (1 - kb) * c)
		t.gu[i] = fixed(-2 * kb * (1 - kb) / kg * c)
		t.gv[i] = fixed(-2 * kr * (1 - kr) / kg * c)
		if t.gbr {
			t.rv[i] = fixed(ys * (float64(i) - foot))
		}
	}
	return t
}

// fixed rounds to 16.16 fixed point.
func fixed(v float64) int32 {
	if v < 0 {
		return int32(v*65536 - 0.5)
	}
	return int32(v*65536 + 0.5)
}

// clamp8 takes 16.16 fixed point to a code. Both ends are one comparison in
// the usual case: as unsigned, negative numbers are large.
func clamp8(v int32) uint8 {
	v >>= 16
	if uint32(v) > 255 {
		if v < 0 {
			return 0
		}
		return 255
	}
	return uint8(v)
}

// rgba converts a whole picture.
func (t *ycc) rgba(img *image.YCbCr, threads int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	colormath.Rows(out.Rect.Dy(), threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			t.row(out.Pix[y*out.Stride:(y+1)*out.Stride], img, y)
		}
	})
	return out
}

// row converts one row. Colour planes are repeated, not interpolated: where
// the joint is a few pixels wide, smoothing would only move the smear.
func (t *ycc) row(to []uint8, img *image.YCbCr, y int) {
	x0 := img.Rect.Min.X
	ys := img.Y[img.YOffset(x0, y+img.Rect.Min.Y):]
	for x := range len(to) / 4 {
		c := img.COffset(x0+x, y+img.Rect.Min.Y)
		Y, u, v := ys[x], img.Cb[c], img.Cr[c]
		o := to[4*x : 4*x+4 : 4*x+4]
		if t.gbr {
			const half = 1 << 15
			o[0], o[1], o[2], o[3] = clamp8(t.rv[v]+half), clamp8(t.y[Y]), clamp8(t.rv[u]+half), 255
			continue
		}
		l := t.y[Y]
		o[0], o[1], o[2], o[3] = clamp8(l+t.rv[v]), clamp8(l+t.gu[u]+t.gv[v]), clamp8(l+t.bu[u]), 255
	}
}

// grey spreads a limited range of a one-channel picture to 0…255, in place.
func (t *ycc) grey(img *image.Gray) {
	for i, v := range img.Pix {
		img.Pix[i] = clamp8(t.y[v])
	}
}
