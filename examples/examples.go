// Package examples holds the bundled sample photo and one folder per lesson.
package examples

import _ "embed"

// Lemons is an invented dry layout, 383 × 303 mm: lemons of glass tesserae on a
// ground of dark teal, laid on white paper under a window. It was path-traced
// for this project, so that its truth is known; it shows no real panel.
//
//go:embed lemons/photo.jpg
var Lemons []byte

// The panel's size in Lemons, mm.
const LemonsWidthMm, LemonsHeightMm = 383, 303
