package segment

import (
	"context"

	"gapshade/colormath"
	"gapshade/segment/net"
)

// Finder holds the network; it is safe for concurrent use.
type Finder struct{ net tileNet }

// tileNet gives the tile coverage 0…1 of a picture and what is known of it.
// Two implementations exist: package net, and the drawn-by-hand one of the tests.
type tileNet interface {
	Tiles(in net.Input, threads int) []float32
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
	a, err := f.Analyse(ctx, pic, opt)
	if err != nil {
		return nil, err
	}
	return a.m, nil
}
