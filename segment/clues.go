package segment

import (
	"context"

	"gapshade/colormath"
	"gapshade/segment/net"
)

// clues are what is known of a view beside the picture itself. Nothing has to be
// known: what isn't given is not shown to the network and costs nothing.
type clues struct {
	pattern bool     // pieces are of many colours
	bed     *openBed // how open bed looks in this light
	second  *view    // another photo, laid over the view and brought to its exposure
	marks   *marked  // what strokes tell
}

// tiles is what the network says of a view, with all that is known of it.
func (f *Finder) tiles(v *view, c clues, threads int) *plane {
	return f.tilesUntil(context.Background(), v, c, threads)
}

// tilesUntil is tiles, given up when ctx ends; what it returns then means nothing.
func (f *Finder) tilesUntil(ctx context.Context, v *view, c clues, threads int) *plane {
	in := net.Input{W: v.w, H: v.h, RGB: v.encoded(threads), Pattern: c.pattern, Stop: ctx.Done()}
	if c.bed != nil {
		in.Bed = v.less(in.RGB, c.bed.at, threads)
	}
	if c.second != nil {
		in.Second = c.second.encoded(threads)
		for i, first := range in.RGB {
			in.Second[i] = (in.Second[i] - first) * net.Gain
		}
	}
	if c.marks != nil {
		in.Painted = c.marks.painted
		if len(c.marks.tiles) > 0 {
			in.Told = v.less(in.RGB, c.marks.nearest(in.RGB, v.w, v.h), threads)
		}
	}
	return &plane{v.w, v.h, f.net.Tiles(in, threads)}
}

// less gives the planes of the encoded picture less a colour at each pixel, times
// what the network expects.
func (v *view) less(rgb []float32, colour func(x, y int) [3]float32, threads int) []float32 {
	n := v.w * v.h
	out := make([]float32, 3*n)
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range v.w {
				c, i := colour(x, y), y*v.w+x
				for k := range 3 {
					out[k*n+i] = (rgb[k*n+i] - c[k]) * net.Gain
				}
			}
		}
	})
	return out
}
