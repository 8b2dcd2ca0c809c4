package segment

import (
	"math"

	"gapshade/colormath"
)

// What the network is sure of teaches the rest of the same picture: a pixel that
// it can't place (a pale joint, a worn face, a glint) goes by the colours that sure
// tile and sure gap have round about. Only away from edges: between a face and the
// bed lie a bevel, a side wall and a shadow, whose colours are neither's, and there
// the network judges better. Scans of laid floors gain .00 to .05 of IoU by it,
// layouts with deep joints neither gain nor lose.
const (
	sureTile = 0.92
	sureGap  = 0.08

	// awayPx: sure tile and sure gap both within this many view px make an edge.
	awayPx = 3

	// mostTaught bounds the colour's say, in natural log odds: seven to one at most,
	// so that colour alone never overrules a sure network.
	mostTaught = 1.9459 // ln 7

	// roundAbout is how far the teaching colours are gathered, in gap widths either
	// way: a few tiles.
	roundAbout = 4

	// Grain that any surface has, and the least number of pixels to learn from.
	leastVariance = 4e-4 // of sRGB-encoded values, that is 5 of 255
	leastPupils   = 20
)

// teach moves the network's answer where it is unsure; the untaught one is kept in
// own.
func (ev *evidence) teach(threads int) {
	w, h := ev.w, ev.h
	tile := ev.gather(func(p float32) bool { return p > sureTile }, threads)
	gap := ev.gather(func(p float32) bool { return p < sureGap }, threads)
	out := append([]float32(nil), ev.tile.v...)
	colormath.Rows(h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range w {
				i := y*w + x
				p := ev.tile.v[i]
				if p > sureTile || p < sureGap || !ev.lay.panel[i] || ev.betweenSure(x, y) {
					continue
				}
				c := ev.encodedAt(i)
				t, g := tile.logLikelihood(x, y, c), gap.logLikelihood(x, y, c)
				if math.IsInf(t, -1) || math.IsInf(g, -1) {
					continue
				}
				odds := math.Log(float64(p/(1-p))) + min(max(t-g, -mostTaught), mostTaught)
				out[i] = float32(1 / (1 + math.Exp(-odds)))
			}
		}
	})
	ev.own = ev.tile
	ev.tile = &plane{w, h, out}
}

// betweenSure says whether sure tile and sure gap are both at hand.
func (ev *evidence) betweenSure(x, y int) bool {
	var tile, gap bool
	for j := max(y-awayPx, 0); j <= min(y+awayPx, ev.h-1); j++ {
		for _, p := range ev.tile.v[j*ev.w+max(x-awayPx, 0) : j*ev.w+min(x+awayPx+1, ev.w)] {
			tile, gap = tile || p > sureTile, gap || p < sureGap
		}
	}
	return tile && gap
}

// encodedAt is a view pixel in sRGB-encoded values, where grain is about alike in
// light and dark.
func (ev *evidence) encodedAt(i int) (c [3]float64) {
	for k := range c {
		c[k] = float64(encode(ev.lin[3*i+k]))
	}
	return c
}

// colourSum gathers colours: number, sum and sum of squares over all channels.
type colourSum struct {
	n, square float64
	sum       [3]float64
}

func (s *colourSum) add(o colourSum) {
	s.n, s.square = s.n+o.n, s.square+o.square
	for k := range s.sum {
		s.sum[k] += o.sum[k]
	}
}

// colours are the sums over square cells of the view, each with its neighbours
// round about.
type colours struct {
	side, cols, rows int
	cell             []colourSum
}

// gather sums the panel's pixels whose tile coverage is wanted.
func (ev *evidence) gather(wanted func(p float32) bool, threads int) *colours {
	a := &colours{side: max(2, int(math.Round(ev.lay.gap)))}
	a.cols, a.rows = (ev.w+a.side-1)/a.side, (ev.h+a.side-1)/a.side
	a.cell = make([]colourSum, a.cols*a.rows)
	colormath.Rows(a.rows, threads, func(r0, r1 int) {
		for y := r0 * a.side; y < min(r1*a.side, ev.h); y++ {
			for x := range ev.w {
				i := y*ev.w + x
				if !ev.lay.panel[i] || !wanted(ev.tile.v[i]) {
					continue
				}
				s := colourSum{n: 1, sum: ev.encodedAt(i)}
				for _, v := range s.sum {
					s.square += v * v
				}
				a.cell[y/a.side*a.cols+x/a.side].add(s)
			}
		}
	})
	a.spread()
	return a
}

// spread adds to each cell its neighbours, along rows and then along columns.
func (a *colours) spread() {
	along := func(count, length, step, next int) {
		line := make([]colourSum, length)
		for k := range count {
			for i := range line {
				line[i] = a.cell[k*next+i*step]
			}
			for i := range line {
				var s colourSum
				for j := max(i-roundAbout, 0); j <= min(i+roundAbout, length-1); j++ {
					s.add(line[j])
				}
				a.cell[k*next+i*step] = s
			}
		}
	}
	along(a.rows, a.cols, 1, a.cols)
	along(a.cols, a.rows, a.cols, 1)
}

// logLikelihood of a colour at (x, y) under one round normal distribution; −∞
// where there is too little to learn from.
func (a *colours) logLikelihood(x, y int, c [3]float64) float64 {
	s := &a.cell[y/a.side*a.cols+x/a.side]
	if s.n < leastPupils {
		return math.Inf(-1)
	}
	d, mean2 := 0., 0.
	for k := range c {
		m := s.sum[k] / s.n
		d += (c[k] - m) * (c[k] - m)
		mean2 += m * m
	}
	variance := max(s.square/s.n-mean2, 0)/3 + leastVariance
	return -d/(2*variance) - 1.5*math.Log(variance)
}
