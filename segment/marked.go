package segment

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// marked is what strokes tell of a view beyond the place where they were painted.
type marked struct {
	painted []float32    // 1 where a stroke says tile, −1 where one says gap
	tiles   [][3]float32 // colours of what was shown to be tile, sRGB-encoded
}

// What the network was taught with: so many colours from each stroke on a tile, of six
// strokes at most. A pattern of more colours needs more strokes.
const (
	coloursPerStroke = 6
	mostColours      = 6 * coloursPerStroke
)

// cluesWith is all that the network can be told of a view once there are strokes.
func (ev *evidence) cluesWith(strokes []Stroke) clues {
	c := clues{pattern: ev.pattern}
	if ev.told {
		c.bed = ev.bed
	}
	var bare []int
	for _, s := range strokes {
		if s.Shows == ShowsOutside {
			continue
		}
		if c.marks == nil {
			c.marks = &marked{painted: make([]float32, ev.w*ev.h)}
		}
		path := ev.onPicture(s.Path)
		own := ev.shapeOf(path, 1)
		if s.Shows == ShowsTile {
			c.marks.tiles = append(c.marks.tiles, ev.coloursOf(c.marks.paint(own, ev.w, 1))...)
			continue
		}
		c.marks.paint(own, ev.w, -1)
		bare = append(bare, ev.bareUnder(path, own)...)
	}
	// Where open bed was seen and the network wasn't told of it, because pieces are plain, a
	// red stroke is no reason to: it would move the edges of the whole panel (see muchPattern).
	if ev.bed == nil && len(bare) > 0 {
		c.bed = ev.bedUnder(bare)
	}
	if c.marks != nil {
		c.marks.tiles = mostUnlike(c.marks.tiles, mostColours)
	}
	return c
}

// onPicture gives a path in view px where the picture shows what was painted over.
func (v *view) onPicture(path []Dab) []Dab {
	out := make([]Dab, len(path))
	for i, d := range path {
		out[i].X, out[i].Y = v.toView(d.X, d.Y)
		out[i].R = max(d.R*v.scale, leastRadius)
	}
	return out
}

// paint marks what a stroke covers, in a view so wide, and returns these pixels.
func (m *marked) paint(own shape, w int, says float32) (under []int) {
	each(own.win, func(x, y int) {
		if own.at(x, y) < 0 {
			m.painted[y*w+x] = says
			under = append(under, y*w+x)
		}
	})
	return under
}

// bareUnder are the pixels under a red stroke that show the bed. A dab or an area was
// put on bare bed, whatever the network thinks of the place: its inner half counts,
// because a hand strays over edges. A thin line says that a joint runs somewhere along
// it and is painted roughly, half of it on tiles or across them: there only what the
// network takes for gap counts, which such a line meets at its ends at least.
func (ev *evidence) bareUnder(path []Dab, own shape) (bare []int) {
	length, radius := lengthOf(path)
	line := length > 2*radius && radius <= areaBrush*max(ev.lay.gap, 2)
	each(own.win, func(x, y int) {
		i, d := y*ev.w+x, own.at(x, y)
		if line && d < 0 && ev.bare.v[i] < .5 || !line && d < min(-radius/2, -leastRadius/2) {
			bare = append(bare, i)
		}
	})
	return bare
}

// bedUnder is the bed's colour as some pixels show it, the mean of their encoded values
// as the network was taught; how the light changes over the view they can't tell.
func (ev *evidence) bedUnder(at []int) *openBed {
	b := &openBed{w: ev.w, h: ev.h}
	for k := range b.log {
		sum := 0.
		for _, i := range at {
			sum += ev.encodedAt(i)[k]
		}
		b.log[k] = math.Log(max(colormath.DecodeSRGB(sum/float64(len(at))), darkestBed))
	}
	return b
}

// coloursOf picks colours from dark to light among some pixels.
func (v *view) coloursOf(at []int) (out [][3]float32) {
	slices.SortFunc(at, func(i, j int) int { return cmp.Or(cmp.Compare(v.luminance(i), v.luminance(j)), cmp.Compare(i, j)) })
	n := min(coloursPerStroke, len(at))
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

// mostUnlike keeps n colours: the first, and then again and again the one that is
// farthest from all that are kept.
func mostUnlike(colours [][3]float32, n int) [][3]float32 {
	if len(colours) <= n {
		return colours
	}
	far := make([]float32, len(colours)) // to the nearest that is kept
	for i := range far {
		far[i] = float32(math.Inf(1))
	}
	kept, next := make([][3]float32, 0, n), 0
	for len(kept) < n {
		c := colours[next]
		kept, next = append(kept, c), 0
		for i, o := range colours {
			if far[i] = min(far[i], farFrom(o, c)); far[i] > far[next] {
				next = i
			}
		}
	}
	return kept
}

// farFrom is how far two colours are from each other, as the network was taught.
func farFrom(a, b [3]float32) float32 { return abs32(a[0]-b[0]) + abs32(a[1]-b[1]) + abs32(a[2]-b[2]) }

// nearest gives, for a pixel of an encoded picture, the told colour nearest to its own.
func (m *marked) nearest(rgb []float32, w, h int) func(x, y int) [3]float32 {
	n := w * h
	return func(x, y int) (best [3]float32) {
		i, least := y*w+x, float32(math.Inf(1))
		own := [3]float32{rgb[i], rgb[n+i], rgb[2*n+i]}
		for _, c := range m.tiles {
			if d := farFrom(own, c); d < least {
				least, best = d, c
			}
		}
		return best
	}
}

func abs32(v float32) float32 { return max(v, -v) }
