package grout

import (
	"image"
	"slices"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// Filler prepares a panel and can do a part of it again. It holds the linear picture;
// who needs no part again keeps the Fill alone.
type Filler struct {
	*Fill
	pic     *colormath.Picture
	field   *light.Field
	recess  *recess
	grain   *grain
	through *through
}

// NewFiller does what NewFill does and keeps what Renew needs.
func NewFiller(base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, j Joint, threads int) *Filler {
	f := &Fill{base: base, m: m, rows: make([]rowStart, m.H+1), threads: threads}
	middle := field.At(field.Middle())
	f.light = [3]float32{float32(middle.R), float32(middle.G), float32(middle.B)}
	s := &Filler{Fill: f, pic: pic, field: field, recess: newRecess(pic, m, j.DepthPx, j.Lamp, threads), through: newThrough(m, field, f.light, j, threads)}
	if j.GrainPx > 0 {
		s.grain = newGrain(j.Seed, j.GrainPx)
	}
	s.sort(0, m.H)
	return s
}

// Renew brings the fill up to a map that has changed in rows y0…y1−1 and nowhere
// else. What comes out is what NewFill gives for that map and the same light, to the
// last bit.
func (s *Filler) Renew(y0, y1 int) {
	a, b := s.recess.renew(y0, y1)
	c, d := s.through.renew(y0, y1, s.threads)
	s.sort(max(min(a, c, y0-reach), 0), min(max(b, d, y1+reach), s.m.H))
}

// sort puts the pixels of rows y0…y1−1 in place of those that were there: it counts
// them row by row, makes room, then fills the rows side by side.
func (s *Filler) sort(y0, y1 int) {
	was := s.rows[y1]
	size := s.count(y0, y1)
	for y := range y1 - y0 {
		s.rows[y0+y+1] = rowStart{s.rows[y0+y].joint + size[y].joint, s.rows[y0+y].edge + size[y].edge}
	}
	s.joint = resized(s.joint, was.joint, s.rows[y1].joint)
	s.edge = resized(s.edge, was.edge, s.rows[y1].edge)
	for y := y1 + 1; y <= s.m.H && s.rows[y1] != was; y++ {
		s.rows[y].joint += s.rows[y1].joint - was.joint
		s.rows[y].edge += s.rows[y1].edge - was.edge
	}
	colormath.Rows(y1-y0, s.threads, func(a, b int) {
		at, lit, dim := s.rows[y0+a], make([]float32, s.m.W), row{}
		last := -1
		for _, sp := range s.spans(y0+a, y0+b) {
			s.field.Row(sp.Y, sp.X0, lit[:sp.X1-sp.X0])
			if sp.Y != last {
				s.recess.row(sp.Y, &dim)
				last = sp.Y
			}
			at = s.sortRow(sp, lit, &dim, at)
		}
	})
}

// count counts the pixels of rows y0…y1−1.
func (s *Filler) count(y0, y1 int) []rowStart {
	size := make([]rowStart, y1-y0)
	colormath.Rows(y1-y0, s.threads, func(a, b int) {
		for _, sp := range s.spans(y0+a, y0+b) {
			n := &size[sp.Y-y0]
			for x := sp.X0; x < sp.X1; x++ {
				switch s.m.Gap[sp.Y*s.m.W+x] {
				case 0:
					if s.through.share(sp.Y*s.m.W+x) > 0 {
						n.edge++
					}
				case 255:
					n.joint++
				default:
					n.edge++
				}
			}
		}
	})
	return size
}

// resized makes the part of a list that ended at to end at end.
func resized[T any](list []T, to, end int) []T {
	switch {
	case len(list) == 0:
		return make([]T, end)
	case end > to:
		return slices.Insert(list, to, make([]T, end-to)...)
	}
	return slices.Delete(list, end, to)
}

// sortRow puts one run's pixels in place, lit being the level of the light, and
// returns the next free places.
func (s *Filler) sortRow(sp segment.Span, lit []float32, dim *row, at rowStart) rowStart {
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
func (s *Filler) levels(dim *row, x, y int, level float32) (out [3]uint16) {
	on := dim.on(x, [3]float32{level * s.light[0], level * s.light[1], level * s.light[2]})
	k := s.grain.at(x, y) * levelStep
	for c := range out {
		out[c] = uint16(min(k*on[c]/s.light[c]+.5, levels-1))
	}
	return out
}
