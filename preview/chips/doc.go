// Package chips reads the colours of cured grout samples from a photo.
//
// It takes a photo in linear light of chips that lie on a plain sheet of known
// colour, or beside a card of known colour, finds the chips (or takes boxes round
// them) and gives each one's CIELAB (D50/2°) with what that is worth: the
// reference may be a step off, the light may not be even, and nobody knows the
// tone curve of the camera.
//
// For a photo of large size a reduced one serves: a chip of a hundred pixels tells
// its colour as well as one of a thousand.
package chips
