package segment

import (
	"context"

	"gapshade/colormath"
)

// Options is what the caller knows about the photo. The zero value is a plain
// run: find the panel, no hints, one thread per processor.
type Options struct {
	Panel   *Quad   // the panel's corners, px; nil = find them
	GapPx   float64 // expected gap width, px; 0 = not known
	Threads int     // 0 = one per processor
}

// NoGapsError says that no gap hypothesis was good enough to draw.
type NoGapsError struct {
	Confidence float64 // of the best hypothesis, 0…1
	Why        string  // what was seen instead
}

func (e *NoGapsError) Error() string { return "no reliable gaps found: " + e.Why }

// Finder holds the network; it is safe for concurrent use.
type Finder struct{ net tileNet }

// tileNet gives the tile coverage 0…1 of an sRGB-encoded picture, planes first.
// Two implementations exist: package net, and the drawn-by-hand one of the tests.
type tileNet interface {
	Tiles(rgb []float32, w, h, threads int) []float32
}

// Find maps the tiles and gaps of a photo. It returns *NoGapsError when there
// is nothing to trust, or ctx's error when cancelled.
func (f *Finder) Find(ctx context.Context, pic *colormath.Picture, opt Options) (*Map, error) {
	win := opt.window(pic)
	ev, err := f.evidence(ctx, pic, win, opt)
	if err != nil {
		return nil, err
	}
	m := &Map{W: pic.W, H: pic.H}
	m.findPanel(ev, opt)
	m.cover(pic, ev, opt)
	m.label(ev)
	m.border(ev)
	if err := m.check(ev); err != nil {
		return nil, err
	}
	return m, ctx.Err()
}
