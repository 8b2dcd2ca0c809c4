// Package grout knows the candidate shades and draws them into the gaps.
//
// Shades are CIELAB colours (D50/2°) of cured, dry grout: eleven built in, or
// the person's own from a file. Fill takes the photo in linear light, the
// segment.Map and the light.Field, prepares the panel once, and draws any shade
// from it as an 8-bit sRGB picture. Pixels outside the panel and tile cores
// come through bit for bit.
package grout
