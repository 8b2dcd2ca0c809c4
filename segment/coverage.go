package segment

import (
	"math"

	"gapshade/colormath"
)

// panel sets the panel in picture px.
func (m *Map) panel(ev *evidence, opt Options) {
	lay := ev.lay
	m.WholePicture = lay.whole
	if opt.Panel != nil {
		m.Panel = *opt.Panel
		m.Outline = m.Panel[:]
	} else {
		for i, p := range lay.quad {
			m.Panel[i].X, m.Panel[i].Y = ev.toFull(p.X, p.Y)
		}
		m.Outline = make([]Point, len(lay.pts))
		for i, p := range lay.pts {
			m.Outline[i].X, m.Outline[i].Y = ev.toFull(p.X, p.Y)
		}
	}
	m.Inside = spans(m.W, m.H, m.Outline)
	for _, s := range m.Inside {
		m.PanelPx += float64(s.X1 - s.X0)
	}
}

// tidy takes specks and holes out of the network's answer, in place: pieces
// too small to be tiles become gap, and gaps shut in by one tile (glare, a
// vein, a knot) become tile.
func (ev *evidence) tidy() {
	w, h, v := ev.tile.w, ev.tile.h, ev.tile.v
	in := ev.lay.panel
	runs, n := components(w, h, func(i int) bool { return in[i] && v[i] > .5 })
	size := areas(runs, n)
	speck := speckLimit(size[1:])
	label := make([]int32, w*h)
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			i := r.y*w + x
			if size[r.id] < speck {
				v[i] = 0
			} else {
				label[i] = r.id
			}
		}
	}
	holes, k := components(w, h, func(i int) bool { return in[i] && v[i] <= .5 })
	owner := shutIn(w, h, label, in, holes, k)
	hole := areas(holes, k)
	for _, r := range holes {
		o := owner[r.id]
		if o <= 0 || 3*hole[r.id] > size[o] {
			continue
		}
		for x := r.x0; x < r.x1; x++ {
			v[r.y*w+x] = 1
		}
	}
}

// shutIn gives, for each gap component, the one tile that surrounds it, or −1
// when it meets several tiles or the panel's edge.
func shutIn(w, h int, label []int32, in []bool, holes []run, k int) []int32 {
	owner := make([]int32, k+1)
	meet := func(id int32, x, y int) {
		if x < 0 || y < 0 || x >= w || y >= h || !in[y*w+x] {
			owner[id] = -1
			return
		}
		l := label[y*w+x]
		if l == 0 || owner[id] == l {
			return
		}
		if owner[id] == 0 {
			owner[id] = l
		} else {
			owner[id] = -1
		}
	}
	for _, r := range holes {
		if owner[r.id] < 0 {
			continue
		}
		meet(r.id, r.x0-1, r.y)
		meet(r.id, r.x1, r.y)
		for x := r.x0; x < r.x1; x++ {
			meet(r.id, x, r.y-1)
			meet(r.id, x, r.y+1)
		}
	}
	return owner
}

// cover writes the gap coverage at full resolution: the network's answer,
// enlarged, and in the band round its edges the share that the pixel's own
// colour tells, on the line between local tile colour and local bed colour.
func (m *Map) cover(pic *colormath.Picture, ev *evidence, opt Options) {
	ev.tidy()
	m.Lamp = ev.towardsLamp()
	m.Gap = make([]uint8, m.W*m.H)
	tile, bed := ev.localColours(opt.Threads)
	colormath.Rows(len(m.Inside), opt.Threads, func(s0, s1 int) {
		for _, s := range m.Inside[s0:s1] {
			m.coverRow(pic, ev, tile, bed, s)
		}
	})
}

// crisp is how much steeper the coverage runs through an edge than the network
// draws it: where it is unsure by a pixel it draws a ramp of two, and a photo's
// own edge is narrower.
const crisp = 1.6

// lampLean: the network draws tiles a little nearer to the lamp than they
// stand. A side wall in the light looks like tile and one in the dark looks like
// gap, and both will be under grout or above it by the same height. In gap widths
// per unit of Lamp.
const lampLean = 0.12

func (m *Map) coverRow(pic *colormath.Picture, ev *evidence, tile, bed *colours, s Span) {
	lean := lampLean * ev.lay.gap
	sharpen := float32(ramp(1/ev.scale, 1.2, 2.5))
	for x := s.X0; x < s.X1; x++ {
		vx, vy := ev.toView(float64(x), float64(s.Y))
		gap := 1 - ev.tile.at(vx+lean*m.Lamp.X, vy+lean*m.Lamp.Y)
		if gap > .02 && gap < .98 {
			c := pic.Pix[3*(s.Y*pic.W+x):]
			share, trust := lineShare([3]float32{c[0], c[1], c[2]}, tile.at(vx, vy), bed.at(vx, vy))
			gap += sharpen * trust * (share - gap)
		}
		gap = min(max((gap-.5)*crisp+.5, 0), 1)
		m.Gap[s.Y*m.W+x] = uint8(255*gap + .5)
	}
}

// lineShare is where a colour lies on the line from tile (0) to bed (1), in
// linear light, and how far to trust that: less when the two are close, and
// less when the colour lies off the line (a shadow, a side wall, a highlight).
func lineShare(c, tile, bed [3]float32) (share, trust float32) {
	var dot, len2, sum float32
	for k := range c {
		d := bed[k] - tile[k]
		dot += (c[k] - tile[k]) * d
		len2 += d * d
		sum += bed[k] + tile[k]
	}
	if len2 < 1e-9 {
		return 0, 0
	}
	share = min(max(dot/len2, 0), 1)
	var off float32
	for k := range c {
		e := c[k] - tile[k] - share*(bed[k]-tile[k])
		off += e * e
	}
	noise := 0.012 + 0.03*sum/6
	return share, len2 / (len2 + 12*noise*noise + 4*off)
}

// colours is a colour per view pixel, linear light.
type colours struct {
	w, h int
	v    []float32
}

func (c *colours) at(x, y float64) [3]float32 {
	i, j := clampInt(int(x+.5), 0, c.w-1), clampInt(int(y+.5), 0, c.h-1)
	k := 3 * (j*c.w + i)
	return [3]float32{c.v[k], c.v[k+1], c.v[k+2]}
}

// localColours are the colours of the nearest sure tile and sure bed pixels:
// averages under a narrow bell, so that the tile on this side of the gap
// counts and the one on the far side does not.
func (ev *evidence) localColours(threads int) (tile, bed *colours) {
	return ev.blurred(threads, func(p float32) float32 { return p * p * p * p }),
		ev.blurred(threads, func(p float32) float32 { q := 1 - p; return q * q * q * q })
}

// blurred averages the view's colours with the given weight of tile coverage.
func (ev *evidence) blurred(threads int, weight func(tile float32) float32) *colours {
	const radius = 6
	var bell [2*radius + 1]float32
	for i := range bell {
		d := float64(i-radius) / 2
		bell[i] = float32(math.Exp(-d * d / 2))
	}
	w, h := ev.w, ev.h
	tmp := make([]float32, 4*w*h)
	colormath.Rows(h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range w {
				var acc [4]float32
				for k := max(0, x-radius); k <= min(w-1, x+radius); k++ {
					i := y*w + k
					b := bell[k-x+radius] * (weight(ev.tile.v[i]) + 1e-6)
					acc[0] += b * ev.lin[3*i]
					acc[1] += b * ev.lin[3*i+1]
					acc[2] += b * ev.lin[3*i+2]
					acc[3] += b
				}
				copy(tmp[4*(y*w+x):], acc[:])
			}
		}
	})
	out := &colours{w, h, make([]float32, 3*w*h)}
	colormath.Rows(h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range w {
				var acc [4]float32
				for k := max(0, y-radius); k <= min(h-1, y+radius); k++ {
					t := tmp[4*(k*w+x) : 4*(k*w+x)+4 : 4*(k*w+x)+4]
					b := bell[k-y+radius]
					acc[0], acc[1], acc[2], acc[3] = acc[0]+b*t[0], acc[1]+b*t[1], acc[2]+b*t[2], acc[3]+b*t[3]
				}
				i := 3 * (y*w + x)
				out.v[i], out.v[i+1], out.v[i+2] = acc[0]/acc[3], acc[1]/acc[3], acc[2]/acc[3]
			}
		}
	})
	return out
}
