package photo

import "image"

// turn is how a stored picture becomes upright: the upright pixel (x, y) of
// the stored (sx, sy) is affine in both. Orientation values are those of TIFF
// 6.0 tag 274: row and column 0 of the stored picture lie
// 1 top, left · 2 top, right · 3 bottom, right · 4 bottom, left ·
// 5 left, top · 6 right, top · 7 right, bottom · 8 left, bottom.
type turn struct {
	w, h           int // upright size, px
	base, dx, dy   int // index of stored (0, 0), and its change per stored x, y
	isUprightStore bool
}

// newTurn gives the turn for orientation o (1…8) of a stored picture w × h.
func newTurn(o, w, h int) turn {
	t := turn{w: w, h: h, isUprightStore: o == 1}
	if o >= 5 {
		t.w, t.h = h, w
	}
	right, down := 1, t.w
	lastX, lastY := t.w-1, (t.h-1)*t.w
	switch o {
	case 2:
		t.base, t.dx, t.dy = lastX, -right, down
	case 3:
		t.base, t.dx, t.dy = lastX+lastY, -right, -down
	case 4:
		t.base, t.dx, t.dy = lastY, right, -down
	case 5:
		t.base, t.dx, t.dy = 0, down, right
	case 6:
		t.base, t.dx, t.dy = lastX, down, -right
	case 7:
		t.base, t.dx, t.dy = lastX+lastY, -down, -right
	case 8:
		t.base, t.dx, t.dy = lastY, -down, right
	default:
		t.base, t.dx, t.dy = 0, right, down
	}
	return t
}

// band is the number of stored rows turned together: a turned row of that
// many pixels fills whole cache lines.
const band = 16

// place copies a band of stored rows y0… (src, n rows, tightly packed) to
// their upright places.
func (t turn) place(dst *image.RGBA, src []uint8, y0, n int) {
	w := len(src) / 4 / n
	for x := range w {
		for y := range n {
			to := 4 * (t.base + x*t.dx + (y0+y)*t.dy)
			from := 4 * (y*w + x)
			copy(dst.Pix[to:to+4:to+4], src[from:from+4:from+4])
		}
	}
}
