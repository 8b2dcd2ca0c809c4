package segment

import (
	"errors"
	"image"
	"math"
)

// Shows is what a stroke says about the place where it was painted.
type Shows uint8

// What a stroke can say.
const (
	ShowsGap     Shows = iota + 1 // grout will cover this
	ShowsTile                     // this is tile
	ShowsOutside                  // this is no part of the panel
)

// Dab is one disc of a stroke, picture px.
type Dab struct {
	Point
	R float64 // radius, above 0
}

// Stroke is a correction as a person paints it: a line of discs, one after the
// other, with everything between them. A single disc is a stroke too.
type Stroke struct {
	Shows Shows
	Path  []Dab
}

// errStroke says that a stroke is none.
var errStroke = errors.New("a stroke needs at least one disc, and finite places and radii above 0")

// check refuses what can't be painted.
func (s *Stroke) check() error {
	ok := len(s.Path) > 0 && s.Shows >= ShowsGap && s.Shows <= ShowsOutside
	for _, d := range s.Path {
		size := math.Abs(d.X) + math.Abs(d.Y) + d.R
		ok = ok && d.R > 0 && size < 1e6 // false for NaN as well
	}
	if !ok {
		return errStroke
	}
	return nil
}

// leastRadius keeps a hairline of a stroke visible to the view, view px.
const leastRadius = 0.75

// inView gives the stroke's path in view px, where the coverage of these places is
// read, without discs that add next to nothing to the shape.
func (ev *evidence) inView(path []Dab) []Dab {
	var out []Dab
	for i, d := range path {
		var v Dab
		v.X, v.Y = ev.toView(d.X, d.Y)
		v.X, v.Y = v.X+ev.lean.X, v.Y+ev.lean.Y
		v.R = max(d.R*ev.scale, leastRadius)
		if n := len(out); n > 0 && i < len(path)-1 {
			last := out[n-1]
			if near := math.Hypot(v.X-last.X, v.Y-last.Y); near < max(1, last.R/4) && math.Abs(v.R/last.R-1) < .1 {
				continue
			}
		}
		out = append(out, v)
	}
	return out
}

// lengthOf is the length of a path, its middle radius beside it.
func lengthOf(path []Dab) (length, radius float64) {
	for i, d := range path {
		radius += d.R / float64(len(path))
		if i > 0 {
			length += math.Hypot(d.X-path[i-1].X, d.Y-path[i-1].Y)
		}
	}
	return length, radius
}

// around is the window of the view within so many px of a path's discs.
func (v *view) around(path []Dab, more float64) image.Rectangle {
	var r image.Rectangle
	for _, d := range path {
		m := d.R + more
		r = r.Union(image.Rect(int(math.Floor(d.X-m)), int(math.Floor(d.Y-m)), int(math.Ceil(d.X+m))+1, int(math.Ceil(d.Y+m))+1))
	}
	return r.Intersect(image.Rect(0, 0, v.w, v.h))
}

// shape is how far each pixel of a window lies outside a stroke, px; negative
// inside it.
type shape struct {
	win image.Rectangle
	out []float32
}

// shapeOf measures it in the window within so many px of the stroke; what lies
// farther is at least that far.
func (v *view) shapeOf(path []Dab, more float64) shape {
	s := shape{win: v.around(path, more)}
	s.out = make([]float32, s.win.Dx()*s.win.Dy())
	for i := range s.out {
		s.out[i] = float32(more) + 1
	}
	for k := range path {
		a, b := path[max(k-1, 0)], path[k]
		each(v.around([]Dab{a, b}, more), func(x, y int) {
			i := (y-s.win.Min.Y)*s.win.Dx() + x - s.win.Min.X
			s.out[i] = min(s.out[i], float32(outside(float64(x), float64(y), a, b)))
		})
	}
	return s
}

// outside is the distance of a place from the discs between two discs.
func outside(x, y float64, a, b Dab) float64 {
	ux, uy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := ux*ux + uy*uy; l > 0 {
		t = min(max(((x-a.X)*ux+(y-a.Y)*uy)/l, 0), 1)
	}
	return math.Hypot(x-a.X-t*ux, y-a.Y-t*uy) - a.R - t*(b.R-a.R)
}

// at is the distance of one pixel of the window.
func (s *shape) at(x, y int) float64 {
	return float64(s.out[(y-s.win.Min.Y)*s.win.Dx()+x-s.win.Min.X])
}

// covers says whether the middle of a pixel lies in the stroke.
func (s *shape) covers(x, y int) bool {
	return image.Pt(x, y).In(s.win) && s.at(x, y) < 0
}

// between says whether pixel k of the window lies between the stroke and pixel q:
// whether the way to q leads away from the stroke.
func (s *shape) between(k, q int) bool {
	w := s.win.Dx()
	x, y := k%w, k/w
	left, right := k-min(x, 1), k+min(w-1-x, 1)
	up, down := k-w*min(y, 1), k+w*min(s.win.Dy()-1-y, 1)
	gx, gy := s.out[right]-s.out[left], s.out[down]-s.out[up]
	return gx*float32(q%w-x)+gy*float32(q/w-y) > 0
}
