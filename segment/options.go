package segment

// Options is what the caller knows about the photo. The zero value is a plain
// run: find the panel, no hints, one thread per processor.
type Options struct {
	Panel   *Quad   // the panel's corners, px; nil = find them
	Strict  bool    // refuse what is only likely
	GapPx   float64 // expected gap width, px; 0 = not known
	Threads int     // 0 = one per processor
}

// NoGapsError says that no gap hypothesis was good enough to draw.
type NoGapsError struct {
	Confidence float64 // of the best hypothesis, 0…1
	Why        string  // what was seen instead
}

func (e *NoGapsError) Error() string { return "no reliable gaps found: " + e.Why }
