package colormath

import "math"

// MunsellY is the luminance Y, 0…1, of a Munsell value v, 0…10: the quintic of
// ASTM D1535-14, which is the 1943 one of Newhall, Nickerson and Judd (J. Opt.
// Soc. Am. 33, 385) times .975, so that v 10 is the perfect white and no
// longer smoked magnesium oxide.
func MunsellY(v float64) float64 {
	return v * (1.1914 + v*(-0.22533+v*(0.23352+v*(-0.020484+v*0.00081939)))) / 100
}

// MunsellNeutral is the true grey of a Munsell value, 0…10, as Lab: a* and b*
// are 0 under any white.
func MunsellNeutral(v float64) Lab { return Lab{L: Lightness(MunsellY(v))} }

// Tinted returns the colour of lightness l with chroma c in the direction of
// the hue angle h, degrees (0 is +a*, 90 is +b*).
func Tinted(l, c, h float64) Lab {
	sin, cos := math.Sincos(radians(h))
	return Lab{L: l, A: c * cos, B: c * sin}
}
