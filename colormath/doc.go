// Package colormath holds the colour arithmetic that every other room leans
// on: plain numbers in, plain numbers out, no files and no settings.
//
// # Spaces and units
//
//   - [LinearRGB] and [Picture]: light, on sRGB/BT.709 primaries with a D65
//     white, 1 = white, not clipped. Blending, wetting and averaging happen
//     here; 8-bit codes exist only at the edges ([Decode8], [Encode8]).
//   - [XYZ]: CIE 1931 2° observer, Y = 1 at white. Its white is always an
//     argument or part of the function's description, never assumed.
//   - [Lab]: CIELAB with L* 0…100 under D50/2°, as charts and instruments
//     print it. Differences are on the same scale: "2" is two units, not 0.02.
//
// # What is here
//
//   - srgb.go, xyz.go, adapt.go, lab.go: from an 8-bit code to Lab and back
//   - deltae.go, contrast.go: how different two colours are
//   - neutral.go, mix.go, wet.go: greys, mixtures of two grouts, damp grout
//   - scielab.go with opponent.go and blur.go: what is left of a picture at a
//     distance
//   - homography.go, warp.go: a picture seen from another place
//   - stats.go: medians and spreads of such numbers
//
// Sub-rooms: colormath/icc reads camera profiles, colormath/imgdiff compares
// pictures in tests.
//
// Everything above calls this package: the photo reader, the segmenter, the
// fill and the contrast rooms, and the writers of pictures and reports. It
// imports the standard library and, for reading "#rrggbb" only, go-colorful.
package colormath
