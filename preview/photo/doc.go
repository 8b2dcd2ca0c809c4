// Package photo reads a photo file into linear light.
//
// It takes the bytes of a file and gives a *Photo: the picture upright, in
// linear light on sRGB primaries (colormath.Picture, unclipped), with the name
// of the format and of the colour profile, the SHA-256 of the file and notes
// on everything that was assumed or left out. Lengths are pixels.
//
// The way of a file, one source file each:
//
//	sniff.go     the format from the content, never from the name
//	jpeg.go, png.go, webp.go, tiff.go, bmp.go, heif.go
//	             the header: size, orientation, profile, without decoding
//	limits.go    the gate: refused here, a huge file costs nothing
//	decode.go    the decoders, each behind recover and a deadline
//	upright.go   orientation, once
//	space.go     whose word counts for the colour space
//	linear.go    code values to linear light; fine.go does 16 bits and
//	             transparency, ycc.go what other decoders leave undone
//	reduced.go   a smaller picture for analysis, without the large one
//
// A plain 8-bit photo costs 16 bytes per pixel while it is held (codes and
// linear light), one that is not sRGB 20 once RGBA was called; Limits.Lean
// leaves the linear 12 out for photos of 48 megapixels.
//
// Every refusal is an *Error with a kind (the command turns it into an exit
// code), what was wrong, and what to do instead. Nothing here panics on any
// input, keeps state between calls or writes files.
//
// Callers: package preview and the command.
package photo
