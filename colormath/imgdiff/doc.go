// Package imgdiff compares two pictures by what an eye would notice, CIEDE2000
// pixel by pixel, and not by code values. It takes linear pictures
// (colormath.Picture) or any image.Image, which it reads as sRGB; it gives
// counts of pixels, places, and differences in CIEDE2000 units.
//
// Golden tests call it; nothing that ships does. It says three things, because
// one number cannot tell speckle from damage: how many pixels differ by more
// than a threshold, how many of them lie together in the worst square window,
// and how far off the worst pixel is.
package imgdiff
