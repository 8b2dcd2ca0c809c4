package chips

import (
	"math"

	"gapshade/colormath"
)

// How plain areas are found (ours): pixels belong together when their lightness,
// on a scale of 100, differs by less than a step along no channel; a sheet fills at
// least a sixteenth of the photo.
const (
	plainStep  = 1.0
	leastSheet = 1.0 / 16
)

// tones are the channels as cube roots times 100, averaged over 3 × 3 pixels: even
// steps of them look about even, and grain is smoothed away.
func tones(pic *colormath.Picture) []float32 {
	raw := make([]float32, len(pic.Pix))
	for i, v := range pic.Pix {
		raw[i] = float32(100 * math.Cbrt(max(0, float64(v))))
	}
	out := make([]float32, len(raw))
	colormath.Rows(pic.H, 0, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range pic.W {
				var sum [3]float32
				n := float32(0)
				for j := max(y-1, 0); j <= min(y+1, pic.H-1); j++ {
					for i := max(x-1, 0); i <= min(x+1, pic.W-1); i++ {
						n++
						for c := range sum {
							sum[c] += raw[3*(j*pic.W+i)+c]
						}
					}
				}
				for c := range sum {
					out[3*(y*pic.W+x)+c] = sum[c] / n
				}
			}
		}
	})
	return out
}

// ground finds the plain area that the chips lie on: of all areas that are large
// enough the lightest, darkest or least coloured one, as the sheet is white, black
// or grey; the largest when nothing is known of it (nil). It returns its pixels; nil
// when nothing plain is large enough.
func ground(pic *colormath.Picture, tone []float32, sheet *colormath.Lab) []bool {
	at := func(i int) colormath.LinearRGB {
		p := pic.Pix[3*i:]
		return colormath.LinearRGB{R: float64(p[0]), G: float64(p[1]), B: float64(p[2])}
	}
	parts := plainParts(pic.W, pic.H, tone)
	size, sum := map[int32]int{}, map[int32]colormath.LinearRGB{}
	for i, p := range parts {
		c, s := at(i), sum[p]
		size[p]++
		sum[p] = colormath.LinearRGB{R: s.R + c.R, G: s.G + c.G, B: s.B + c.B}
	}
	best, most := int32(-1), math.Inf(-1)
	for i, p := range parts { // in reading order, so that equals are settled
		if int(p) != i || float64(size[p]) < leastSheet*float64(len(parts)) {
			continue
		}
		n, s := float64(size[p]), sum[p]
		c := colormath.LinearRGB{R: s.R / n, G: s.G / n, B: s.B / n}.Lab()
		fits := -c.Chroma()
		switch {
		case sheet == nil:
			fits = n
		case sheet.L >= 75:
			fits = c.L
		case sheet.L <= 25:
			fits = -c.L
		}
		if fits > most {
			best, most = p, fits
		}
	}
	if best < 0 {
		return nil
	}
	on := make([]bool, len(parts))
	for i, p := range parts {
		on[i] = p == best
	}
	return on
}

// plainParts joins neighbouring pixels of nearly the same tone; a part is named by
// its first pixel.
func plainParts(w, h int, tone []float32) []int32 {
	root := make([]int32, w*h)
	for i := range root {
		root[i] = int32(i)
	}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	same := func(i, j int) bool {
		for c := range 3 {
			if d := tone[3*i+c] - tone[3*j+c]; d > plainStep || d < -plainStep {
				return false
			}
		}
		return true
	}
	join := func(i, j int) {
		if a, b := find(int32(i)), find(int32(j)); same(i, j) {
			root[max(a, b)] = min(a, b)
		}
	}
	for y := range h {
		for x := range w {
			i := y*w + x
			if x > 0 {
				join(i, i-1)
			}
			if y > 0 {
				join(i, i-w)
			}
		}
	}
	for i := range root {
		root[i] = find(int32(i))
	}
	return root
}
