package chips

import (
	"math"

	"gapshade/colormath"
)

// What a photo's colour is worth (ours; one standard deviation each).
const (
	referenceDoubt = 1.0  // of the reference's own L*, a* and b*: two sheets of paper differ by as much
	curveDoubt     = 0.05 // of the exponent of the camera's tone curve against the sRGB curve
)

// doubt adds up, as independent errors: the reference a step off in each of L*, a*
// and b*; the light uneven over the chip, seen in how its quarters differ, and the
// field's own error; and the tone curve, which tells the less the further the chip
// is from the reference in lightness.
func (l *lit) doubt(px []placed, c colormath.Lab) (doubt colormath.Lab, varies float64) {
	var sum [3]float64
	add := func(dl, da, db float64) {
		sum[0], sum[1], sum[2] = sum[0]+dl*dl, sum[1]+da*da, sum[2]+db*db
	}
	own, v := reflectance(l.reference), c.LinearRGB()
	for _, d := range [3]colormath.Lab{{L: referenceDoubt}, {A: referenceDoubt}, {B: referenceDoubt}} {
		o := reflectance(colormath.Lab{L: l.reference.L + d.L, A: l.reference.A + d.A, B: l.reference.B + d.B})
		q := colormath.LinearRGB{R: v.R * o.R / own.R, G: v.G * o.G / own.G, B: v.B * o.B / own.B}.Lab()
		add(q.L-c.L, q.A-c.A, q.B-c.B)
	}
	brighter := func(k float64) colormath.Lab {
		return colormath.LinearRGB{R: k * v.R, G: k * v.G, B: k * v.B}.Lab()
	}
	add(brighter(1+l.off).L-c.L, 0, 0)
	curve := curveDoubt * math.Abs(math.Log(max(v.Luminance(), .002)/own.Luminance()))
	add(brighter(1+curve).L-c.L, 0, 0)
	add(unevenness(px, c))
	ls := make([]float64, len(px))
	for i, p := range px {
		ls[i] = p.c.Lab().L
	}
	return colormath.Lab{L: math.Sqrt(sum[0]), A: math.Sqrt(sum[1]), B: math.Sqrt(sum[2])}, 1.4826 * colormath.MAD(ls)
}

// unevenness is how far the quarters of a chip lie from its colour, the root of the
// mean square.
func unevenness(px []placed, c colormath.Lab) (dl, da, db float64) {
	var quarters [4][]placed
	for _, p := range px {
		quarters[p.quarter] = append(quarters[p.quarter], p)
	}
	n := 0.0
	for _, part := range quarters {
		if len(part) == 0 {
			continue
		}
		m := middle(part).Lab()
		n++
		dl, da, db = dl+(m.L-c.L)*(m.L-c.L), da+(m.A-c.A)*(m.A-c.A), db+(m.B-c.B)*(m.B-c.B)
	}
	return math.Sqrt(dl / n), math.Sqrt(da / n), math.Sqrt(db / n)
}
