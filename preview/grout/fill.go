package grout

import (
	"image"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// Fill is a panel prepared for drawing: everything that does not depend on the
// shade is done once.
type Fill struct {
	base    *image.RGBA // the photo, upright, sRGB
	m       *segment.Map
	field   *light.Field
	recess  *recess
	edge    []edgePixel // mixed pixels, in reading order
	rows    []int       // rows[y] is the first edge pixel of row y; len H+1
	threads int
}

// edgePixel is a pixel that grout will share with a tile.
type edgePixel struct {
	x    int32
	gap  float32    // share of grout, 0…1
	tile [3]float32 // the tile's own colour there, linear, free of old bed
}

// NewFill prepares a panel. base is the photo in 8-bit sRGB, as large as pic; it
// is copied for each drawing and never changed.
// recessPx is how deep the joint lies below the faces, px; 0 when the scale is
// not known.
func NewFill(base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, recessPx float64, threads int) *Fill {
	if recessPx <= 0 {
		recessPx = recessShare * m.GapWidthPx.P50
	}
	f := &Fill{base: base, m: m, field: field, threads: threads,
		recess: newRecess(m, max(recessPx, .5), threads)}
	f.findEdges(pic)
	return f
}

// Draw returns the panel grouted with one shade, at full size.
func (f *Fill) Draw(s Shade) *image.RGBA {
	out := &image.RGBA{Pix: make([]uint8, len(f.base.Pix)), Stride: f.base.Stride, Rect: f.base.Rect}
	rgb := s.Lab.LinearRGB()
	g := [3]float32{float32(rgb.R), float32(rgb.G), float32(rgb.B)}
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		copy(out.Pix[y0*out.Stride:y1*out.Stride], f.base.Pix[y0*out.Stride:y1*out.Stride])
		lit, dim := make([]float32, 3*f.m.W), make([]float32, f.m.W)
		for _, sp := range f.spans(y0, y1) {
			n := sp.X1 - sp.X0
			f.lightRow(sp, lit[:3*n], dim[:n])
			f.drawRow(out, sp, g, lit[:3*n])
		}
	})
	return out
}

// spans are the panel's runs of pixels in rows y0…y1−1.
func (f *Fill) spans(y0, y1 int) []segment.Span {
	all := f.m.Inside
	lo, hi := 0, len(all)
	for lo < hi && all[lo].Y < y0 {
		lo++
	}
	for hi > lo && all[hi-1].Y >= y1 {
		hi--
	}
	return all[lo:hi]
}

// lightRow is the light on the joint along one run, R, G, B; dim is scratch.
func (f *Fill) lightRow(sp segment.Span, lit, dim []float32) {
	f.field.Row(sp.Y, sp.X0, lit)
	f.recess.row(sp.Y, sp.X0, dim)
	for i, d := range dim {
		lit[3*i], lit[3*i+1], lit[3*i+2] = lit[3*i]*d, lit[3*i+1]*d, lit[3*i+2]*d
	}
}

// drawRow fills one run: joint pixels with light times reflectance, mixed ones
// with the tile's own colour showing through by its share.
func (f *Fill) drawRow(out *image.RGBA, sp segment.Span, g [3]float32, lit []float32) {
	gap := f.m.Gap[sp.Y*f.m.W+sp.X0:]
	pix := out.Pix[sp.Y*out.Stride+4*sp.X0:]
	for i := range sp.X1 - sp.X0 {
		if gap[i] != 255 {
			continue
		}
		for c := range 3 {
			pix[4*i+c] = colormath.Encode8(lit[3*i+c] * g[c])
		}
	}
	for _, e := range f.edge[f.rows[sp.Y]:f.rows[sp.Y+1]] {
		i := int(e.x) - sp.X0
		if i < 0 || i >= sp.X1-sp.X0 {
			continue
		}
		for c := range 3 {
			pix[4*i+c] = colormath.Encode8(e.tile[c] + e.gap*(lit[3*i+c]*g[c]-e.tile[c]))
		}
	}
}
