package segment

import (
	"image"
	"math"
)

// A stroke that shows outside takes what it covers out of the panel: no tile lies
// there, no grout, and it counts in no share. It changes nothing of what the network
// saw, so the strokes before and after it say what they said.

// paintOutside takes a stroke's pixels out of the panel and returns their window.
func (a *Analysis) paintOutside(s *Stroke) image.Rectangle {
	if a.outside == nil {
		a.outside = make([]bool, a.m.W*a.m.H)
	}
	for k, b := range s.Path {
		last := s.Path[max(k-1, 0)]
		each(boxOf([]Dab{last, b}).Intersect(a.all()), func(x, y int) {
			if outside(float64(x), float64(y), last, b) <= 0 {
				a.outside[y*a.m.W+x] = true
			}
		})
	}
	return boxOf(s.Path).Intersect(a.all())
}

// boxOf is the window of the pixels that discs may cover.
func boxOf(path []Dab) (r image.Rectangle) {
	for _, d := range path {
		r = r.Union(image.Rect(int(math.Floor(d.X-d.R)), int(math.Floor(d.Y-d.R)), int(math.Ceil(d.X+d.R))+1, int(math.Ceil(d.Y+d.R))+1))
	}
	return r
}

// takeBack puts a stroke's pixels into the panel again, but for those of others.
func (a *Analysis) takeBack(s *Stroke) image.Rectangle {
	win := boxOf(s.Path).Intersect(a.all())
	each(win, func(x, y int) { a.outside[y*a.m.W+x] = false })
	more := false
	for i := range a.layers {
		if o := &a.layers[i].stroke; o.Shows == ShowsOutside {
			a.paintOutside(o)
			more = true
		}
	}
	if !more {
		a.outside = nil
	}
	return win
}

// within makes the panel of what lies in its outline, in none of its holes, and was not taken out.
func (a *Analysis) within() {
	m := a.m
	m.Inside, m.PanelPx = nil, 0
	if a.inside == nil {
		a.inside = make([]bool, m.W*m.H)
	}
	clear(a.inside)
	for _, s := range spans(m.W, m.H, m.Outline, m.Holes...) {
		for x := s.X0; x < s.X1; {
			from := x
			for x < s.X1 && !a.isOutside(s.Y*m.W+x) {
				a.inside[s.Y*m.W+x] = true
				x++
			}
			if from < x {
				m.Inside = append(m.Inside, Span{s.Y, from, x})
				m.PanelPx += float64(x - from)
			}
			for x < s.X1 && a.isOutside(s.Y*m.W+x) {
				x++
			}
		}
	}
}

func (a *Analysis) isOutside(i int) bool { return a.outside != nil && a.outside[i] }

// tookOut says whether the middle of a view pixel was taken out of the panel.
func (a *Analysis) tookOut(i int) bool {
	if a.outside == nil {
		return false
	}
	fx, fy := a.ev.toFull(float64(i%a.ev.w), float64(i/a.ev.w))
	x, y := int(math.Round(fx)), int(math.Round(fy))
	return image.Pt(x, y).In(a.all()) && a.outside[y*a.m.W+x]
}

// empty leaves nothing where a window's pixels lie outside the panel.
func (a *Analysis) empty(win image.Rectangle) {
	if a.outside == nil {
		return
	}
	each(win, func(x, y int) {
		if i := y*a.m.W + x; a.outside[i] {
			a.m.Gap[i] = 0
		}
	})
}
