package light

import (
	"image"
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// maxSamples is plenty for six coefficients; more would only cost time.
const maxSamples = 60000

// gather takes bed pixels from the middle of the gaps: a quarter of the gap's
// width away from any tile, so that no soft edge is mixed in.
func gather(pic *colormath.Picture, m *segment.Map, f *Field, threads int) []sample {
	d := max(1, int(m.GapWidthPx.P50/4))
	step := max(1, int(math.Sqrt(m.GapShare*m.PanelPx/maxSamples)))
	full := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < m.W && y < m.H && m.Gap[y*m.W+x] >= 250
	}
	var at []image.Point
	for _, s := range m.Inside {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0; x < s.X1; x += step {
			if full(x, s.Y) && full(x-d, s.Y) && full(x+d, s.Y) && full(x, s.Y-d) && full(x, s.Y+d) {
				at = append(at, image.Pt(x, s.Y))
			}
		}
	}
	return samples(pic, f, at, threads)
}

const (
	darkest   = 3e-4 // the least light counted, linear: an 8-bit 1 in sRGB
	clippedAt = 0.96 // from here on, linear, a channel may stand at the photo's white: 8-bit 251
)

// samples reads many places, side by side: logarithms take long.
func samples(pic *colormath.Picture, f *Field, at []image.Point, threads int) []sample {
	out := make([]sample, len(at))
	colormath.Rows(len(at), threads, func(a, b int) {
		for i := a; i < b; i++ {
			out[i] = newSample(pic, f, at[i].X, at[i].Y)
		}
	})
	return out
}

func newSample(pic *colormath.Picture, f *Field, x, y int) sample {
	s := sample{x: (float64(x) - f.x0) * f.sx, y: (float64(y) - f.y0) * f.sy}
	p := pic.Pix[3*(y*pic.W+x):]
	for c := range s.log {
		s.log[c] = math.Log(max(float64(p[c]), darkest))
		s.clipped = s.clipped || p[c] >= clippedAt
	}
	return s
}

// tileLight is the middle log light of the tiles' own pixels.
func tileLight(pic *colormath.Picture, m *segment.Map, f *Field, threads int) float64 {
	step := max(1, int(math.Sqrt(m.PanelPx/4000)))
	var at []image.Point
	for _, s := range m.Inside {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0; x < s.X1; x += step {
			if m.Label[s.Y*m.W+x] > 0 {
				at = append(at, image.Pt(x, s.Y))
			}
		}
	}
	return middle(samples(pic, f, at, threads))
}

// around takes pixels from a belt outside the panel, a twentieth of its size
// wide, clear of the edge tiles.
func around(pic *colormath.Picture, m *segment.Map, f *Field, threads int) []sample {
	lo, hi := box(m.Panel)
	belt := max(hi.X-lo.X, hi.Y-lo.Y) / 20
	clear := max(m.GapWidthPx.P50, 3)
	step := max(1, int(math.Sqrt(4*belt*(hi.X-lo.X)/maxSamples)))
	apart := clearOf(m, clear)
	var at []image.Point
	for _, s := range m.Panel.Grown(belt).Spans(m.W, m.H) {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0; x < s.X1; x += step {
			if apart(x, s.Y) {
				at = append(at, image.Pt(x, s.Y))
			}
		}
	}
	return samples(pic, f, at, threads)
}

// clearOf says what lies outside the panel, so far from it. With four corners that is
// exact; of a free outline, and of an opening, it is asked in eight directions.
func clearOf(m *segment.Map, far float64) func(x, y int) bool {
	if !m.Free && len(m.Holes) == 0 {
		within := map[int][2]int{}
		for _, s := range m.Panel.Grown(far).Spans(m.W, m.H) {
			within[s.Y] = [2]int{s.X0, s.X1}
		}
		return func(x, y int) bool { return x < within[y][0] || x >= within[y][1] }
	}
	on := make([]bool, m.W*m.H)
	for _, s := range segment.Spans(m.W, m.H, m.Outline, m.Holes...) {
		for x := s.X0; x < s.X1; x++ {
			on[s.Y*m.W+x] = true
		}
	}
	straight, aslant := int(math.Ceil(far)), int(math.Ceil(far*math.Sqrt2/2))
	return func(x, y int) bool {
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				d := straight
				if dx != 0 && dy != 0 {
					d = aslant
				}
				if u, v := x+d*dx, y+d*dy; u >= 0 && v >= 0 && u < m.W && v < m.H && on[v*m.W+u] {
					return false
				}
			}
		}
		return true
	}
}
