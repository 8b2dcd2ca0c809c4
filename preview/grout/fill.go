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
// is copied for each drawing and never changed.
func NewFill(base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, j Joint, threads int) *Fill {
	f := &Fill{base: base, m: m, threads: threads}
	middle := field.At(field.Middle())
	f.light = [3]float32{float32(middle.R), float32(middle.G), float32(middle.B)}
	s := &sorter{Fill: f, pic: pic, field: field, recess: newRecess(pic, m, j.DepthPx, j.Lamp, threads), through: newThrough(m, field, f.light, j, threads)}
	if j.GrainPx > 0 {
		s.grain = newGrain(j.Seed, j.GrainPx)
	}
	s.sort()
	return f
}

// sorter puts the panel's pixels in place.
type sorter struct {
	*Fill
	pic     *colormath.Picture
	field   *light.Field
	recess  *recess
	grain   *grain
	through *through
}

// sort counts the pixels row by row, then fills the rows side by side.
func (s *sorter) sort() {
	s.rows = make([]rowStart, s.m.H+1)
	colormath.Rows(s.m.H, s.threads, func(y0, y1 int) {
		for _, sp := range s.spans(y0, y1) {
			for x := sp.X0; x < sp.X1; x++ {
				switch s.m.Gap[sp.Y*s.m.W+x] {
				case 0:
					if s.through.share(sp.Y*s.m.W+x) > 0 {
						s.rows[sp.Y+1].edge++
					}
				case 255:
					s.rows[sp.Y+1].joint++
				default:
					s.rows[sp.Y+1].edge++
				}
			}
		}
	})
	for y := range s.m.H {
		s.rows[y+1].joint += s.rows[y].joint
		s.rows[y+1].edge += s.rows[y].edge
	}
	s.joint, s.edge = make([]jointPixel, s.rows[s.m.H].joint), make([]edgePixel, s.rows[s.m.H].edge)
	colormath.Rows(s.m.H, s.threads, func(y0, y1 int) {
		at, lit, dim := s.rows[y0], make([]float32, s.m.W), row{}
		last := -1
		for _, sp := range s.spans(y0, y1) {
			s.field.Row(sp.Y, sp.X0, lit[:sp.X1-sp.X0])
			if sp.Y != last {
				s.recess.row(sp.Y, &dim)
				last = sp.Y
			}
			at = s.sortRow(sp, lit, &dim, at)
		}
	})
}

// sortRow puts one run's pixels in place, lit being the level of the light, and
// returns the next free places.
func (s *sorter) sortRow(sp segment.Span, lit []float32, dim *row, at rowStart) rowStart {
	middle := float32(s.field.Level(s.field.Middle()))
	for x := sp.X0; x < sp.X1; x++ {
		i := sp.Y*s.m.W + x
		level := lit[x-sp.X0] / middle
		switch g := s.m.Gap[i]; {
		case g == 255:
			s.joint[at.joint] = jointPixel{uint16(x), s.levels(dim, x, sp.Y, level)}
			at.joint++
		case g > 0:
			s.edge[at.edge] = s.edgePixel(s.pic, x, sp.Y, float32(g)/255)
			s.edge[at.edge].level = s.levels(dim, x, sp.Y, level)
			at.edge++
		case s.through.share(i) > 0:
			s.edge[at.edge] = s.through.pixel(pixel(s.pic, x, sp.Y), x, sp.Y, level)
			at.edge++
		}
	}
	return at
}

// levels is the light on the joint at a place in steps, level being that on the
// faces there over that in the middle.
func (s *sorter) levels(dim *row, x, y int, level float32) (out [3]uint16) {
	on := dim.on(x, [3]float32{level * s.light[0], level * s.light[1], level * s.light[2]})
	k := s.grain.at(x, y) * levelStep
	for c := range out {
		out[c] = uint16(min(k*on[c]/s.light[c]+.5, levels-1))
	}
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
