package icc

import "gapshade/colormath"

// trio is three primaries: red, green, blue.
type trio [3]colormath.Chromaticity

// whiteD65 is the white of sRGB, Display P3 and BT.2020 by chromaticity
// (IEC 61966-2-1:1999, SMPTE EG 432-1, ITU-R BT.2020).
var whiteD65 = colormath.Chromaticity{X: 0.3127, Y: 0.3290}

// srgbPrimaries: ITU-R BT.709-6, table 1.
var srgbPrimaries = trio{{X: 0.64, Y: 0.33}, {X: 0.30, Y: 0.60}, {X: 0.15, Y: 0.06}}

// fromPrimaries builds a profile from chromaticities; another white than D65
// is brought over by the Bradford transform.
func fromPrimaries(name string, p trio, white colormath.Chromaticity, c curve) (*Profile, error) {
	w := colormath.XYZ{X: white.X / white.Y, Y: 1, Z: (1 - white.X - white.Y) / white.Y}
	toXYZ := colormath.RGBToXYZ(p[0], p[1], p[2], w)
	out := &Profile{Name: name, curves: [3]curve{c, c, c}}
	for i := range 3 {
		primary := colormath.XYZ{X: toXYZ[0][i], Y: toXYZ[1][i], Z: toXYZ[2][i]}
		l := primary.Adapt(w, colormath.D65).LinearRGB()
		out.matrix[0][i], out.matrix[1][i], out.matrix[2][i] = l.R, l.G, l.B
	}
	return out.settle()
}

// Chromaticities builds a profile from what PNG chunks cHRM and gAMA hold:
// white, red, green, blue as x, y, and the exponent from code to light.
func Chromaticities(xy [8]float64, exponent float64) (*Profile, error) {
	var c [4]colormath.Chromaticity
	for i := range c {
		x, y := xy[2*i], xy[2*i+1]
		if !(x >= 0 && x <= 1 && y > 0 && y <= 1) {
			return nil, broken("its primaries make no sense")
		}
		c[i] = colormath.Chromaticity{X: x, Y: y}
	}
	if !(exponent > 0 && exponent <= 10) {
		return nil, broken("its gamma makes no sense")
	}
	return fromPrimaries("stated primaries and gamma", trio{c[1], c[2], c[3]}, c[0], gamma(exponent))
}

// Gamma is sRGB's primaries with a plain power curve (PNG gAMA alone).
func Gamma(exponent float64) (*Profile, error) {
	if !(exponent > 0 && exponent <= 10) {
		return nil, broken("its gamma makes no sense")
	}
	return fromPrimaries("sRGB primaries, stated gamma", srgbPrimaries, whiteD65, gamma(exponent))
}

// AdobeRGB is Adobe RGB (1998), Color Image Encoding version 2005-05:
// exponent 563/256.
func AdobeRGB() *Profile {
	p, err := fromPrimaries("Adobe RGB (1998)",
		trio{{X: 0.64, Y: 0.33}, {X: 0.21, Y: 0.71}, {X: 0.15, Y: 0.06}}, whiteD65, gamma(563.0/256))
	if err != nil {
		return nil // cannot happen: the numbers are constants
	}
	return p
}

// stated is one row of the table below: primaries with their white.
type stated struct {
	name  string
	p     trio
	white colormath.Chromaticity
}

// codePrimaries gives the colour primaries of ITU-T H.273 (07/2024), table 2,
// that a still photo may carry.
func codePrimaries(code int) (stated, bool) {
	p3 := trio{{X: 0.680, Y: 0.320}, {X: 0.265, Y: 0.690}, {X: 0.150, Y: 0.060}}
	switch code {
	case 1, 2: // 2 is "unspecified"
		return stated{"sRGB", srgbPrimaries, whiteD65}, true
	case 5:
		return stated{"BT.601 (625 lines)", trio{{X: 0.64, Y: 0.33}, {X: 0.29, Y: 0.60}, {X: 0.15, Y: 0.06}}, whiteD65}, true
	case 6, 7:
		return stated{"BT.601 (525 lines)", trio{{X: 0.630, Y: 0.340}, {X: 0.310, Y: 0.595}, {X: 0.155, Y: 0.070}}, whiteD65}, true
	case 9:
		return stated{"BT.2020", trio{{X: 0.708, Y: 0.292}, {X: 0.170, Y: 0.797}, {X: 0.131, Y: 0.046}}, whiteD65}, true
	case 11:
		return stated{"DCI P3", p3, colormath.Chromaticity{X: 0.314, Y: 0.351}}, true
	case 12:
		return stated{"Display P3", p3, whiteD65}, true
	}
	return stated{}, false
}

// CodePoints builds a profile from H.273 code points as PNG cICP and HEIF
// nclx carry them. Errors are *Error.
func CodePoints(primaries, transfer int) (*Profile, error) {
	p, ok := codePrimaries(primaries)
	if !ok {
		return nil, &Error{Space, "colour primaries that are not known here"}
	}
	c, err := codeCurve(transfer)
	if err != nil {
		return nil, err
	}
	if c.g != srgbCurve().g {
		p.name += " primaries, other gamma"
	}
	return fromPrimaries(p.name, p.p, p.white, c)
}

// codeCurve is the tone curve of H.273 table 3. The video transfers 1, 6, 14
// and 15 describe the camera's side; shown on a screen such pictures are
// decoded like sRGB, which is what every viewer does with a still photo.
func codeCurve(transfer int) (curve, error) {
	switch transfer {
	case 1, 2, 6, 13, 14, 15:
		return srgbCurve(), nil
	case 4:
		return gamma(2.2), nil
	case 5:
		return gamma(2.8), nil
	case 8:
		return gamma(1), nil
	case 16, 18:
		return curve{}, &Error{HDR, "high dynamic range colour"}
	}
	return curve{}, &Error{Space, "a tone curve that is not known here"}
}
