package icc

// whiteD65 is the white of sRGB, Display P3 and BT.2020 by chromaticity
// (IEC 61966-2-1:1999, SMPTE EG 432-1, ITU-R BT.2020).
var whiteD65 = chroma{0.3127, 0.3290}

// srgbPrimaries, ITU-R BT.709-6 table 1.
var srgbPrimaries = [3]chroma{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}}

// xyzToSRGB is linear sRGB from XYZ under D65, derived rather than typed in:
// the four-digit matrix printed in the standard is off by up to 4e-5.
func xyzToSRGB() matrix {
	p := srgbPrimaries
	return primaries(p[0], p[1], p[2], whiteD65).inverse()
}

// fromPrimaries builds a profile from chromaticities; another white than D65
// is brought over by the Bradford transform.
func fromPrimaries(name string, p [3]chroma, white chroma, c curve) (*Profile, error) {
	m := primaries(p[0], p[1], p[2], white)
	if white != whiteD65 {
		m = adapt(white.xyz(), whiteD65.xyz()).mul(m)
	}
	out := &Profile{Name: name, curves: [3]curve{c, c, c}, matrix: xyzToSRGB().mul(m)}
	return out.settle()
}

// Chromaticities builds a profile from what PNG chunks cHRM and gAMA hold:
// white, red, green, blue as x, y, and the exponent from code to light.
func Chromaticities(xy [8]float64, exponent float64) (*Profile, error) {
	c := [4]chroma{{xy[0], xy[1]}, {xy[2], xy[3]}, {xy[4], xy[5]}, {xy[6], xy[7]}}
	for _, v := range c {
		if v.y <= 0 || v.x < 0 || v.x > 1 || v.y > 1 {
			return nil, broken("its primaries make no sense")
		}
	}
	if exponent <= 0 || exponent > 10 {
		return nil, broken("its gamma makes no sense")
	}
	return fromPrimaries("stated primaries and gamma", [3]chroma{c[1], c[2], c[3]}, c[0], gamma(exponent))
}

// Gamma is sRGB's primaries with a plain power curve (PNG gAMA alone).
func Gamma(exponent float64) (*Profile, error) {
	p := srgbPrimaries
	return Chromaticities([8]float64{whiteD65.x, whiteD65.y,
		p[0].x, p[0].y, p[1].x, p[1].y, p[2].x, p[2].y}, exponent)
}

// AdobeRGB is Adobe RGB (1998), Color Image Encoding version 2005-05:
// exponent 563/256.
func AdobeRGB() *Profile {
	p, err := fromPrimaries("Adobe RGB (1998)",
		[3]chroma{{0.64, 0.33}, {0.21, 0.71}, {0.15, 0.06}}, whiteD65, gamma(563.0/256))
	if err != nil {
		return nil // cannot happen: the numbers are constants
	}
	return p
}

// codePrimaries are the colour primaries of ITU-T H.273 table 2 that a still
// photo may carry, with their white.
var codePrimaries = map[int]struct {
	name  string
	p     [3]chroma
	white chroma
}{
	1:  {"sRGB", srgbPrimaries, whiteD65},
	4:  {"BT.470 M", [3]chroma{{0.67, 0.33}, {0.21, 0.71}, {0.14, 0.08}}, chroma{0.310, 0.316}},
	5:  {"BT.601 625", [3]chroma{{0.64, 0.33}, {0.29, 0.60}, {0.15, 0.06}}, whiteD65},
	6:  {"BT.601 525", [3]chroma{{0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}}, whiteD65},
	7:  {"SMPTE 240", [3]chroma{{0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}}, whiteD65},
	9:  {"BT.2020", [3]chroma{{0.708, 0.292}, {0.170, 0.797}, {0.131, 0.046}}, whiteD65},
	11: {"DCI P3", [3]chroma{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}}, chroma{0.314, 0.351}},
	12: {"Display P3", [3]chroma{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}}, whiteD65},
}

// CodePoints builds a profile from H.273 code points as PNG cICP and HEIF
// nclx carry them. Unspecified (2) means sRGB. A nil profile without an error
// is sRGB itself.
func CodePoints(colour, transfer int) (*Profile, error) {
	if colour == 2 {
		colour = 1
	}
	p, ok := codePrimaries[colour]
	if !ok {
		return nil, &Error{Space, "colour primaries of an unknown number"}
	}
	c, err := codeCurve(transfer)
	if err != nil {
		return nil, err
	}
	if colour == 1 && c.table == nil && c.g == 2.4 {
		return nil, nil
	}
	name := p.name
	if c.g != 2.4 {
		name += " primaries, other gamma"
	}
	return fromPrimaries(name, p.p, p.white, c)
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
	case 17: // SMPTE ST 428-1, with its white at 48/52.37
		return curve{g: 2.6, a: 1, d: -1}, nil
	case 16, 18:
		return curve{}, &Error{HDR, "high dynamic range colour"}
	}
	return curve{}, &Error{Space, "a tone curve of an unknown number"}
}
