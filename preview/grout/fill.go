package grout

import (
	"cmp"
	"image"
	"slices"

	"gapshade/segment"
)

// Fill is a panel prepared for drawing: everything that does not depend on the
// shade is done once.
type Fill struct {
	base    *image.RGBA // the photo, upright, sRGB
	m       *segment.Map
	light   [3]float32   // the light in the middle of the panel, R, G, B
	joint   []jointPixel // pixels that are all joint, in reading order
	edge    []edgePixel  // mixed pixels, in reading order
	rows    []rowStart   // where each row begins in joint and edge; len H+1
	threads int
}

// jointPixel is a pixel that grout will cover wholly.
type jointPixel struct {
	x     uint16
	level [3]uint16
}

// edgePixel is a pixel that grout will share with a tile.
type edgePixel struct {
	x     uint16
	level [3]uint16
	gap   float32    // share of grout, 0…1
	tile  [3]float32 // the tile's own colour there, linear, free of old bed
}

type rowStart struct{ joint, edge int }

// A level is the light on the joint in steps of 1/levelStep of the light in the
// middle of the panel, up to levels/levelStep of it. Where the light has fallen to
// a tenth, a step is half a percent: a quarter of an 8-bit code.
const (
	levels    = 1 << 14
	levelStep = 2048
)

// spans are the panel's runs of pixels in rows y0…y1−1.
func (f *Fill) spans(y0, y1 int) []segment.Span {
	all := f.m.Inside
	lo, _ := slices.BinarySearchFunc(all, y0, func(s segment.Span, y int) int { return cmp.Compare(s.Y, y) })
	hi, _ := slices.BinarySearchFunc(all, y1, func(s segment.Span, y int) int { return cmp.Compare(s.Y, y) })
	return all[lo:hi]
}
