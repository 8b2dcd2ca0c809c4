package segment

import "gapshade/colormath"

// Options is what the caller knows about the photo. The zero value is a plain
// run: find the panel, no hints, one thread per processor.
type Options struct {
	Panel *Quad     // the panel's corners, px; nil = find them
	Holes [][]Point // openings in a panel whose corners are given, px
	// How a panel that must be found ends: ShoulderPx beyond the outermost tiles; or,
	// when that is 0 and the panel's area is known, ShoulderMm; or, when that is 0 too,
	// half the middle gap, with a known area at least 1 mm and at most 5 mm.
	ShoulderPx float64
	ShoulderMm float64
	PanelMm2   float64 // area of the panel, or of the box round it when it has no four corners

	// Bed is the bed's own colour, linear, where somebody named it. It helps to tell
	// which of the colours in the photo is the bed's; it is never taken for how the
	// bed looks in this light. nil = not known.
	Bed *colormath.LinearRGB

	Second *Second // the same layout on another paper; nil = one photo

	Strict  bool     // refuse what is only likely
	GapMm   float64  // expected gap width where the panel must be found; needs PanelMm2
	GapPx   float64  // expected gap width, px; 0 = not known
	Strokes []Stroke // corrections, oldest first
	Threads int      // 0 = one per processor

	after func(step string, a *Analysis) // a test looks on; see steps_test.go
	noBed bool                           // a test withholds the bed; see evidence_table_test.go
}

// done says that a step after the network is done.
func (o *Options) done(step string, a *Analysis) {
	if o.after != nil {
		o.after(step, a)
	}
}

// NoGapsError says that no gap hypothesis was good enough to draw.
type NoGapsError struct {
	Confidence float64 // of the best hypothesis, 0…1
	Why        string  // what was seen instead
}

func (e *NoGapsError) Error() string { return "no reliable gaps found: " + e.Why }
