// Package icc turns the colour space that a photo was written in into linear
// light on sRGB primaries.
//
// It takes the bytes of an ICC profile (versions 2 and 4, matrix/TRC and
// grey), or the code points that PNG
// cICP and HEIF nclx boxes carry, and gives a *Profile: per channel a tone
// curve (code value 0…1 to linear light 0…1), then one 3 × 3 matrix. The
// result is colormath.LinearRGB: sRGB/BT.709 primaries, white D65, not
// clipped, so that a wide-gamut photo keeps what lies outside sRGB as values
// below 0 and above 1.
//
// A nil *Profile is legal everywhere and means sRGB: that is what a photo
// without any mark is taken for. Profiles built from look-up tables, and those
// for CMYK, are declined with an *Error; the caller says so and takes sRGB.
//
// The arithmetic is the media-relative colorimetric one of ICC.1: the profile
// connection space is XYZ under D50, brought to D65 by the Bradford transform.
// A library was tried and decided against: it took forty times as long,
// clipped to sRGB and rounded to eight bits.
//
// Callers: preview/photo.
package icc
