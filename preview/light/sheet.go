package light

import (
	"math"

	"gapshade/colormath"
)

// Sheet reads the light over a plain sheet of known reflectance that lies open, in
// a photo of the sheet and of what lies on it; on says pixel by pixel where the
// sheet shows. off is how far the sheet's own pixels stray from the field, as a
// share of the light: .01 on even paper, more where shadows or a crease cross it.
// With too few pixels ok is false.
func Sheet(pic *colormath.Picture, on []bool, own colormath.LinearRGB) (f *Field, off float64, ok bool) {
	f = &Field{x0: float64(pic.W-1) / 2, y0: float64(pic.H-1) / 2, sx: 2 / float64(max(pic.W, 1)), sy: 2 / float64(max(pic.H, 1))}
	open := 0
	for _, b := range on {
		if b {
			open++
		}
	}
	step := max(1, int(math.Sqrt(float64(open)/maxSamples)))
	var samples []sample
	for y := 0; y < pic.H; y += step {
		for x := 0; x < pic.W; x += step {
			if on[y*pic.W+x] {
				samples = append(samples, newSample(pic, f, x, y))
			}
		}
	}
	cells := nodes(samples, .5, 1)
	if len(cells) < 6 {
		return nil, 0, false
	}
	f.coef = fit(cells)
	for c, o := range colourOf(samples, f.coef, -.4, .4) {
		f.colour[c] = math.Exp(o)
	}
	f.scaled(1/own.R, 1/own.G, 1/own.B)
	for _, n := range cells {
		d := n.z - value(f.coef, n.x, n.y)
		off += d * d / float64(len(cells))
	}
	return f, math.Sqrt(off), true
}

// Set scales the field so that it is the given light at a place.
func (f *Field) Set(x, y float64, c colormath.LinearRGB) {
	at := f.At(x, y)
	f.scaled(c.R/at.R, c.G/at.G, c.B/at.B)
}
