// Package sheet turns a Proof into pictures for people: the comparison sheet
// (bare layout and every shade side by side), the maps of merging tiles, and
// the files they are stored in.
//
// It takes a preview.Proof and pictures in 8-bit sRGB, drawn at full size by
// the caller, and gives 8-bit sRGB pictures; lengths are pixels. It writes to
// an io.Writer only, never to a path. The command and the local page call it.
package sheet
