package segment

import (
	"context"

	"gapshade/colormath"
	"gapshade/segment/net"
)

// Finder holds the network; it is safe for concurrent use.
type Finder struct{ net tileNet }

// tileNet gives the tile coverage 0…1 of an sRGB-encoded picture, planes first.
// Two implementations exist: package net, and the drawn-by-hand one of the tests.
type tileNet interface {
	Tiles(rgb []float32, w, h, threads int) []float32
}

// NewFinder loads the network that is built in.
func NewFinder() (*Finder, error) {
	n, err := net.Load()
	if err != nil {
		return nil, err
	}
	return &Finder{n}, nil
}

// Find maps the tiles and gaps of a photo. It returns *NoGapsError when there
// is nothing to trust, or ctx's error when cancelled.
func (f *Finder) Find(ctx context.Context, pic *colormath.Picture, opt Options) (*Map, error) {
	ev, err := f.evidence(ctx, pic, opt.window(pic), opt)
	if err != nil {
		return nil, err
	}
	if opt.Second != nil {
		if err := f.withSecond(ctx, ev, opt); err != nil {
			return nil, err
		}
	}
	if err := ev.refuse(opt); err != nil {
		return nil, err
	}
	m := &Map{W: pic.W, H: pic.H, Confidence: ev.confidence(), Pair: ev.pair}
	m.panel(ev, opt)
	m.cover(ev, pic, opt)
	m.label()
	m.letThrough(ev, opt.Threads)
	m.border(ev)
	return m, ctx.Err()
}
