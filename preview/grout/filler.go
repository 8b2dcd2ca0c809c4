package grout

import (
	"cmp"
	"context"
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

// NewFiller prepares a panel. base is the photo in 8-bit sRGB, as large as pic; it is
// copied for each drawing and never changed. Errors are ctx's: it ends soon when ctx does.
func NewFiller(ctx context.Context, base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, j Joint, threads int) (*Filler, error) {
	f := &Fill{base: base, m: m, rows: make([]rowStart, m.H+1), threads: threads}
	middle := field.At(field.Middle())
	f.light = [3]float32{float32(middle.R), float32(middle.G), float32(middle.B)}
	s := &Filler{Fill: f, pic: pic, field: field, recess: newRecess(pic, m, j.DepthPx, j.Lamp, threads)}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	s.through = newThrough(m, field, f.light, j, threads)
	if j.GrainPx > 0 {
		s.grain = newGrain(j.Seed, j.GrainPx)
	}
	s.sort(ctx, image.Rect(0, 0, m.W, m.H))
	return s, ctx.Err()
}

// Renew brings the fill up to a map that has changed in a box and nowhere else, and
// gives the box of the picture outside which nothing is drawn otherwise. What comes out
// is what NewFiller gives for that map and the same light, to the last bit.
func (s *Filler) Renew(box image.Rectangle) image.Rectangle {
	seen := box.Inset(-reach).Union(s.recess.renew(box)).Union(s.through.renew(box, s.threads))
	seen = seen.Intersect(image.Rect(0, 0, s.m.W, s.m.H))
	s.sort(context.Background(), seen)
	return seen
}

// sort puts the pixels of a box in place of those that were there: it counts them row
// by row, then fills the rows side by side, between what lies beside the box. When ctx
// ends it leaves the fill of no use.
func (s *Filler) sort(ctx context.Context, box image.Rectangle) {
	y0, y1 := box.Min.Y, box.Max.Y
	band := s.count(box)
	joint, edge := make([]jointPixel, band[y1-y0].joint), make([]edgePixel, band[y1-y0].edge)
	colormath.Rows(y1-y0, s.threads, func(a, b int) {
		lit, dim := make([]float32, s.m.W), row{}
		for y := y0 + a; y < y0+b && ctx.Err() == nil; y++ {
			left, right := s.beside(y, box)
			at := band[y-y0]
			at.joint += copy(joint[at.joint:], s.joint[s.rows[y].joint:left.joint])
			at.edge += copy(edge[at.edge:], s.edge[s.rows[y].edge:left.edge])
			s.recess.row(y, &dim)
			for _, sp := range s.spans(y, y+1) {
				x0, x1 := max(sp.X0, box.Min.X), min(sp.X1, box.Max.X)
				if x0 >= x1 {
					continue
				}
				s.field.Row(y, x0, lit[:x1-x0])
				at = s.sortRow(segment.Span{Y: y, X0: x0, X1: x1}, lit, &dim, joint, edge, at)
			}
			copy(joint[at.joint:], s.joint[right.joint:s.rows[y+1].joint])
			copy(edge[at.edge:], s.edge[right.edge:s.rows[y+1].edge])
		}
	})
	from, to := s.rows[y0], s.rows[y1]
	s.joint, s.edge = replaced(s.joint, from.joint, to.joint, joint), replaced(s.edge, from.edge, to.edge, edge)
	more := rowStart{len(joint) - (to.joint - from.joint), len(edge) - (to.edge - from.edge)}
	for y := y0; y <= s.m.H; y++ {
		if y < y1 {
			s.rows[y] = rowStart{from.joint + band[y-y0].joint, from.edge + band[y-y0].edge}
		} else {
			s.rows[y] = rowStart{s.rows[y].joint + more.joint, s.rows[y].edge + more.edge}
		}
	}
}

// beside is where the pixels left of a box end in a row, and where those right of it
// begin.
func (s *Filler) beside(y int, box image.Rectangle) (left, right rowStart) {
	from, to := s.rows[y], s.rows[y+1]
	joint := func(x int) int {
		i, _ := slices.BinarySearchFunc(s.joint[from.joint:to.joint], x, func(p jointPixel, x int) int { return cmp.Compare(int(p.x), x) })
		return from.joint + i
	}
	edge := func(x int) int {
		i, _ := slices.BinarySearchFunc(s.edge[from.edge:to.edge], x, func(p edgePixel, x int) int { return cmp.Compare(int(p.x), x) })
		return from.edge + i
	}
	return rowStart{joint(box.Min.X), edge(box.Min.X)}, rowStart{joint(box.Max.X), edge(box.Max.X)}
}

// count gives where each of a box's rows will begin, from 0, and where the last ends.
func (s *Filler) count(box image.Rectangle) []rowStart {
	start := make([]rowStart, box.Dy()+1)
	colormath.Rows(box.Dy(), s.threads, func(a, b int) {
		for y := box.Min.Y + a; y < box.Min.Y+b; y++ {
			left, right := s.beside(y, box)
			n := &start[y-box.Min.Y+1]
			n.joint = left.joint - s.rows[y].joint + s.rows[y+1].joint - right.joint
			n.edge = left.edge - s.rows[y].edge + s.rows[y+1].edge - right.edge
			for _, sp := range s.spans(y, y+1) {
				for x := max(sp.X0, box.Min.X); x < min(sp.X1, box.Max.X); x++ {
					switch s.m.Gap[y*s.m.W+x] {
					case 0:
						if s.through.share(y*s.m.W+x) > 0 {
							n.edge++
						}
					case 255:
						n.joint++
					default:
						n.edge++
					}
				}
			}
		}
	})
	for y := range box.Dy() {
		start[y+1].joint += start[y].joint
		start[y+1].edge += start[y].edge
	}
	return start
}

// replaced puts new values in place of some of a list.
func replaced[T any](list []T, from, to int, with []T) []T {
	if from == 0 && to == len(list) {
		return with
	}
	return slices.Replace(list, from, to, with...)
}

// sortRow puts one run's pixels in place, lit being the level of the light, and
// returns the next free places.
func (s *Filler) sortRow(sp segment.Span, lit []float32, dim *row, joint []jointPixel, edge []edgePixel, at rowStart) rowStart {
	middle := float32(s.field.Level(s.field.Middle()))
	for x := sp.X0; x < sp.X1; x++ {
		i := sp.Y*s.m.W + x
		level := lit[x-sp.X0] / middle
		switch g := s.m.Gap[i]; {
		case g == 255:
			joint[at.joint] = jointPixel{uint16(x), s.levels(dim, x, sp.Y, level)}
			at.joint++
		case g > 0:
			edge[at.edge] = s.edgePixel(s.pic, x, sp.Y, float32(g)/255)
			edge[at.edge].level = s.levels(dim, x, sp.Y, level)
			at.edge++
		case s.through.share(i) > 0:
			edge[at.edge] = s.through.pixel(pixel(s.pic, x, sp.Y), x, sp.Y, level)
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
