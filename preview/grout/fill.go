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

// NewFill prepares a panel. base is the photo in 8-bit sRGB, as large as pic; it
// is copied for each drawing and never changed. recessPx is how deep the joint
// lies below the faces, px; 0 when the scale is not known.
func NewFill(base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, lamp light.Lamp, recessPx float64, threads int) *Fill {
	if recessPx <= 0 {
		recessPx = recessShare * m.GapWidthPx.P50
	}
	f := &Fill{base: base, m: m, threads: threads}
	middle := field.At(field.Middle())
	f.light = [3]float32{float32(middle.R), float32(middle.G), float32(middle.B)}
	f.prepare(pic, field, newRecess(m, max(recessPx, .5), lamp, pic, threads))
	return f
}

// prepare sorts the panel's pixels: counts them row by row, then fills the rows
// side by side.
func (f *Fill) prepare(pic *colormath.Picture, field *light.Field, r *recess) {
	f.rows = make([]rowStart, f.m.H+1)
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		for _, sp := range f.spans(y0, y1) {
			for _, g := range f.m.Gap[sp.Y*f.m.W+sp.X0 : sp.Y*f.m.W+sp.X1] {
				switch g {
				case 0:
				case 255:
					f.rows[sp.Y+1].joint++
				default:
					f.rows[sp.Y+1].edge++
				}
			}
		}
	})
	for y := range f.m.H {
		f.rows[y+1].joint += f.rows[y].joint
		f.rows[y+1].edge += f.rows[y].edge
	}
	step := levelStep / float32(field.Level(field.Middle()))
	f.joint, f.edge = make([]jointPixel, f.rows[f.m.H].joint), make([]edgePixel, f.rows[f.m.H].edge)
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		at, base, dim := f.rows[y0], make([]float32, f.m.W), make([]float32, f.m.W)
		var lit [3][]float32
		for c := range lit {
			lit[c] = make([]float32, f.m.W)
		}
		for _, sp := range f.spans(y0, y1) {
			n := sp.X1 - sp.X0
			field.Row(sp.Y, sp.X0, base[:n])
			r.row(sp.Y, sp.X0, dim[:n])
			for c := range lit {
				r.glowRow(c, sp.Y, sp.X0, lit[c][:n])
				for i := range n {
					lit[c][i] = base[i]*dim[i]*step + lit[c][i]*levelStep/f.light[c]
				}
			}
			at = f.sortRow(pic, sp, lit, at)
		}
	})
}

// sortRow puts one run's pixels in place, lit being their light in steps, and
// returns the next free places.
func (f *Fill) sortRow(pic *colormath.Picture, sp segment.Span, lit [3][]float32, at rowStart) rowStart {
	for i, g := range f.m.Gap[sp.Y*f.m.W+sp.X0 : sp.Y*f.m.W+sp.X1] {
		if g == 0 {
			continue
		}
		x := sp.X0 + i
		var level [3]uint16
		for c := range level {
			level[c] = uint16(min(lit[c][i]+.5, levels-1))
		}
		if g == 255 {
			f.joint[at.joint] = jointPixel{uint16(x), level}
			at.joint++
			continue
		}
		f.edge[at.edge] = f.edgePixel(pic, x, sp.Y, float32(g)/255)
		f.edge[at.edge].level = level
		at.edge++
	}
	return at
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

// Draw returns the panel grouted with one shade, at full size.
func (f *Fill) Draw(s Shade) *image.RGBA {
	out := f.Canvas()
	f.Paint(out, s)
	return out
}

// Canvas returns a copy of the photo to paint on.
func (f *Fill) Canvas() *image.RGBA {
	out := &image.RGBA{Pix: make([]uint8, len(f.base.Pix)), Stride: f.base.Stride, Rect: f.base.Rect}
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		copy(out.Pix[y0*out.Stride:y1*out.Stride], f.base.Pix[y0*out.Stride:y1*out.Stride])
	})
	return out
}

// Paint grouts a canvas of this panel with one shade. It writes the joint and its
// edges only, and all of them, so a canvas can be painted again with another
// shade; copying the photo each time took longer than painting.
func (f *Fill) Paint(canvas *image.RGBA, s Shade) {
	grout := f.lit(s)
	var table [3][]uint8
	for c, g := range grout {
		table[c] = make([]uint8, levels)
		for i := range table[c] {
			table[c][i] = colormath.Encode8(g * float32(i) / levelStep)
		}
	}
	colormath.Rows(f.m.H, f.threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := canvas.Pix[y*canvas.Stride : (y+1)*canvas.Stride]
			for _, j := range f.joint[f.rows[y].joint:f.rows[y+1].joint] {
				for c := range table {
					row[4*int(j.x)+c] = table[c][j.level[c]]
				}
			}
			for i := f.rows[y].edge; i < f.rows[y+1].edge; i++ {
				e := &f.edge[i]
				for c, g := range grout {
					l := e.gap * float32(e.level[c]) / levelStep
					row[4*int(e.x)+c] = colormath.Encode8((1-e.gap)*e.tile[c] + l*g)
				}
			}
		}
	})
}

// lit is the shade's linear colour in the light of the panel's middle.
func (f *Fill) lit(s Shade) [3]float32 {
	c := s.Lab.LinearRGB()
	return [3]float32{f.light[0] * float32(c.R), f.light[1] * float32(c.G), f.light[2] * float32(c.B)}
}
