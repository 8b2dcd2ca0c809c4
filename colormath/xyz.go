package colormath

// LinearRGB is a colour in linear light on sRGB/BT.709 primaries, D65; 1 is
// the photo's white, values outside 0…1 are legal.
type LinearRGB struct{ R, G, B float64 }

// XYZ is a CIE 1931 2° colour, Y = 1 at white; the white point is named by the
// function that takes or gives it.
type XYZ struct{ X, Y, Z float64 }

// Chromaticity is a CIE 1931 xy pair.
type Chromaticity struct{ X, Y float64 }

// White points. Neither is ever written; functions take the white they need as
// an argument, so there is no ambient one to change.
var (
	// D50ICC is the profile connection white as ICC.1:2022 prints it (clause
	// 6.3.4.3), with four digits; the D50 of its chromaticity (.9643, 1, .8251)
	// differs in the fourth, and mixing the two shows as a cast of b* 0.02.
	D50ICC = XYZ{0.9642, 1, 0.8249}

	// D65 is the white of sRGB, from its chromaticity x .3127, y .3290
	// (IEC 61966-2-1:1999, table 1): 0.950456, 1, 1.089058.
	D65 = XYZ{0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290}
)

// The matrices are the full-precision solution for the primaries .64 .33,
// .30 .60, .15 .06 and the white D65 (ITU-R BT.709, IEC 61966-2-1:1999); the
// package example derives them again. The four-digit matrix printed in the
// standard differs by up to 4e-5 and its printed inverse is not its inverse,
// which would move greys off the axis.
var (
	rgbToXYZ65 = Matrix{
		{0.41239079926595948, 0.35758433938387796, 0.18048078840183429},
		{0.21263900587151036, 0.71516867876775593, 0.07219231536073371},
		{0.01933081871559185, 0.11919477979462599, 0.95053215224966058},
	}
	xyz65ToRGB = Matrix{
		{3.2409699419045213, -1.5373831775700935, -0.49861076029300328},
		{-0.96924363628087983, 1.8759675015077207, 0.041555057407175613},
		{0.055630079696993609, -0.20397695888897657, 1.0569715142428786},
	}
)

// The same with Bradford adaptation to [D50ICC] multiplied in: the columns of
// rgbToXYZ50 are the colorants of an sRGB ICC profile.
var (
	rgbToXYZ50 = Matrix{
		{0.43604125161605103, 0.38511291079815541, 0.14304583758579356},
		{0.22248454022947745, 0.71690507860845729, 0.060610381162065261},
		{0.013920187471375392, 0.097067238697124008, 0.7139125738315006},
	}
	xyz50ToRGB = Matrix{
		{3.134186364236819, -1.6172089589982748, -0.49069406400638392},
		{-0.97874850419069440, 1.9161300967735872, 0.033433399159995541},
		{0.071963927802246736, -0.22899387345320328, 1.4057537328964443},
	}
)

// XYZ returns the colour as XYZ under [D65].
func (c LinearRGB) XYZ() XYZ {
	x, y, z := rgbToXYZ65.Apply(c.R, c.G, c.B)
	return XYZ{x, y, z}
}

// LinearRGB takes XYZ under [D65] and returns it on sRGB primaries, unclipped.
func (c XYZ) LinearRGB() LinearRGB {
	r, g, b := xyz65ToRGB.Apply(c.X, c.Y, c.Z)
	return LinearRGB{r, g, b}
}

// Luminance is the Y of the colour under D65, 1 = white.
func (c LinearRGB) Luminance() float64 {
	return rgbToXYZ65[1][0]*c.R + rgbToXYZ65[1][1]*c.G + rgbToXYZ65[1][2]*c.B
}

// InGamut tells whether all three channels lie within 0…1, give or take slack
// (in linear light).
func (c LinearRGB) InGamut(slack float64) bool {
	return min(c.R, c.G, c.B) >= -slack && max(c.R, c.G, c.B) <= 1+slack
}

// RGBToXYZ returns the matrix that takes linear RGB on the given primaries to
// XYZ, such that RGB 1, 1, 1 is the given white (SMPTE RP 177-1993): the
// columns are the primaries' XYZ, scaled to sum to the white. The primaries
// must not lie on one line.
func RGBToXYZ(r, g, b Chromaticity, white XYZ) Matrix {
	m := Matrix{
		{r.X / r.Y, g.X / g.Y, b.X / b.Y},
		{1, 1, 1},
		{(1 - r.X - r.Y) / r.Y, (1 - g.X - g.Y) / g.Y, (1 - b.X - b.Y) / b.Y},
	}
	inverse := m.Inverse()
	return m.Times(Diagonal(inverse.Apply(white.X, white.Y, white.Z)))
}
