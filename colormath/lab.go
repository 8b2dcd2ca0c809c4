package colormath

// LinearRGB is a colour in linear light on sRGB/BT.709 primaries, D65; 1 is
// the photo's white, values outside 0…1 are legal.
type LinearRGB struct{ R, G, B float64 }

// XYZ is a CIE 1931 2° colour, Y = 1 at white; the white point is named by the
// function that takes or gives it.
type XYZ struct{ X, Y, Z float64 }

// Lab is CIELAB on its usual scale (L 0…100) under D50/2° unless a name says
// otherwise.
type Lab struct{ L, A, B float64 }
