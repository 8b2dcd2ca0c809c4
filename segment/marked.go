package segment

import (
	"cmp"
	"math"
	"slices"
)

// marked is what strokes tell of a view beyond the place where they were painted.
type marked struct {
	painted []float32    // 1 where a stroke says tile, −1 where one says gap
	told    [][3]float32 // colours of what was shown to be tile, sRGB-encoded
}

// toldPerStroke is how many colours one stroke on a tile tells: as many as the network
// was taught with. A pattern of more colours needs more strokes.
const toldPerStroke = 6

// marks reads strokes on a view; nil without any that show tile or gap.
func (v *view) marks(strokes []Stroke) *marked {
	m := &marked{painted: make([]float32, v.w*v.h)}
	some := false
	for _, s := range strokes {
		if s.Shows == ShowsOutside {
			continue
		}
		some = true
		path := make([]Dab, len(s.Path))
		for i, d := range s.Path {
			path[i].X, path[i].Y = v.toView(d.X, d.Y)
			path[i].R = max(d.R*v.scale, leastRadius)
		}
		own := v.shapeOf(path, 1)
		var under []int
		each(own.win, func(x, y int) {
			if own.at(x, y) >= 0 {
				return
			}
			i := y*v.w + x
			under = append(under, i)
			m.painted[i] = 1
			if s.Shows == ShowsGap {
				m.painted[i] = -1
			}
		})
		if s.Shows == ShowsTile {
			m.told = append(m.told, v.coloursOf(under)...)
		}
	}
	if !some {
		return nil
	}
	return m
}

// coloursOf picks colours from dark to light among some pixels.
func (v *view) coloursOf(at []int) (out [][3]float32) {
	slices.SortFunc(at, func(i, j int) int { return cmp.Or(cmp.Compare(v.luminance(i), v.luminance(j)), cmp.Compare(i, j)) })
	n := min(toldPerStroke, len(at))
	for k := range n {
		i := at[int(math.Round(float64(k*(len(at)-1))/float64(max(n-1, 1))))]
		var c [3]float32
		for p := range c {
			c[p] = encode(v.lin[3*i+p])
		}
		out = append(out, c)
	}
	return out
}

// nearest gives, for a pixel of an encoded picture, the told colour nearest to its own.
func (m *marked) nearest(rgb []float32, w, h int) func(x, y int) [3]float32 {
	n := w * h
	return func(x, y int) (best [3]float32) {
		i, least := y*w+x, float32(math.Inf(1))
		r, g, b := rgb[i], rgb[n+i], rgb[2*n+i]
		for _, c := range m.told {
			if d := abs32(r-c[0]) + abs32(g-c[1]) + abs32(b-c[2]); d < least {
				least, best = d, c
			}
		}
		return best
	}
}

func abs32(v float32) float32 { return max(v, -v) }
