package colormath

import "math"

// Lab is CIELAB on its usual scale (L 0…100) under D50/2° unless a name says
// otherwise.
type Lab struct{ L, A, B float64 }

// The two limits of the CIELAB curve, as fractions, so that its parts meet:
// ISO/CIE 11664-4:2019, equations 4 to 9.
const (
	labEpsilon = 216.0 / 24389 // (6/29)³: below it the curve is a straight line
	labKappa   = 24389.0 / 27  // (29/3)³: slope of L* there
)

// labCurve is f(t) of the standard; the straight part runs on below 0, so that
// colours outside the gamut still have a Lab.
func labCurve(t float64) float64 {
	if t > labEpsilon {
		return math.Cbrt(t)
	}
	return (labKappa*t + 16) / 116
}

// labCurveInverse undoes labCurve.
func labCurveInverse(f float64) float64 {
	if f > 6.0/29 {
		return f * f * f
	}
	return (116*f - 16) / labKappa
}

// Lab returns the colour's CIELAB under the given white, which must be the
// white the XYZ was measured under (ISO/CIE 11664-4).
func (c XYZ) Lab(white XYZ) Lab {
	fx, fy, fz := labCurve(c.X/white.X), labCurve(c.Y/white.Y), labCurve(c.Z/white.Z)
	return Lab{L: 116*fy - 16, A: 500 * (fx - fy), B: 200 * (fy - fz)}
}

// XYZ returns the colour's XYZ under the given white; the inverse of
// [XYZ.Lab].
func (c Lab) XYZ(white XYZ) XYZ {
	fy := (c.L + 16) / 116
	return XYZ{
		X: white.X * labCurveInverse(fy+c.A/500),
		Y: white.Y * labCurveInverse(fy),
		Z: white.Z * labCurveInverse(fy-c.B/200),
	}
}

// Lab returns the colour's CIELAB under D50: to XYZ under D65, by Bradford to
// [D50ICC], to Lab. Grey stays grey (a* = b* = 0 to 1e-12).
func (c LinearRGB) Lab() Lab {
	x, y, z := rgbToXYZ50.Apply(c.R, c.G, c.B)
	return XYZ{x, y, z}.Lab(D50ICC)
}

// LinearRGB takes Lab under D50 and returns it on sRGB primaries, unclipped: a
// colour that sRGB cannot show has channels outside 0…1. The inverse of
// [LinearRGB.Lab].
func (c Lab) LinearRGB() LinearRGB {
	v := c.XYZ(D50ICC)
	r, g, b := xyz50ToRGB.Apply(v.X, v.Y, v.Z)
	return LinearRGB{r, g, b}
}

// Luminance is the Y of the colour, 0…1 for L* 0…100; it needs no white other
// than Y = 1.
func (c Lab) Luminance() float64 { return labCurveInverse((c.L + 16) / 116) }

// Lightness is the L* of a luminance Y, 0…1; the inverse of [Lab.Luminance].
func Lightness(y float64) float64 { return 116*labCurve(y) - 16 }

// Chroma is C*ab, the distance from grey in the a*b* plane.
func (c Lab) Chroma() float64 { return math.Sqrt(c.A*c.A + c.B*c.B) }

// Hue is h_ab in degrees, 0…360, from +a* (reddish) towards +b* (yellowish);
// 0 for a perfect grey.
func (c Lab) Hue() float64 { return hueDegrees(c.A, c.B) }

func hueDegrees(a, b float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) * (180 / math.Pi)
	if h < 0 {
		h += 360
	}
	return h
}
