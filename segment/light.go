package segment

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// What the other paper changed is bed, whatever pattern a face carries. The ratio of the
// photos tells it pixel by pixel, without the light: 1 on faces, the papers' own ratio in
// open bed, and something between where shadow, side walls or a tile that light passes
// come in.

// Noise of a photo, linear light: what eight bits and a sensor leave in the dark, and a
// share of the brightness; and how far, in px, the photos may lie off, which shows beside
// sharp patterns.
const (
	noiseDark  = 0.0015
	noiseShare = 0.015
	lieOff     = 0.15
)

// Places are told in full when noise is at most a thirtieth of the papers' ratio, and not
// at all from a third on.
const (
	clearNoise = 1. / 30
	blindNoise = 1. / 3
)

// tell works out what the paper changed.
func (d *laidOver) tell(first *view, panel *Quad, threads int) {
	z, in := ratios(softened(first, 1, threads), softened(d.view, 1, threads)), first.within(panel)
	d.readPapers(z.V, in)
	d.share, d.known = newPlane(d.w, d.h), newPlane(d.w, d.h)
	d.bed = newPlane(d.w, d.h)
	if d.papers == 0 {
		return
	}
	sign := 1.
	if d.lighter {
		sign = -1
	}
	a, b := first.grey(threads, logged).Soft(threads), d.grey(threads, logged).Soft(threads)
	back, _ := d.at.Inverse()
	colormath.Rows(d.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range d.w {
				if !d.covers(back.Apply(float64(x), float64(y))) {
					continue
				}
				i := y*d.w + x
				d.share.v[i] = float32(min(max(sign*float64(z.V[i])/d.papers, 0), 1))
				if !toned(first.lin[3*i:]) && !toned(d.lin[3*i:]) {
					continue
				}
				slope := min(steep(a.V, d.w, d.h, x, y), steep(b.V, d.w, d.h, x, y))
				off := math.Hypot(math.Hypot(ratioNoise(first.luminance(i)), ratioNoise(d.luminance(i))), lieOff*slope) / d.papers
				d.known.v[i] = float32(1 - ramp(off, clearNoise, blindNoise))
			}
		}
	})
	d.readBed(first, in)
}

// covers says that the second photo shows a place of its own pixels.
func (d *laidOver) covers(x, y float64) bool {
	return x >= -.5 && y >= -.5 && x <= float64(d.pxW)-.5 && y <= float64(d.pxH)-.5
}

// ratioNoise is how far the logarithm of a luminance may be off.
func ratioNoise(y float64) float64 {
	y = max(y, 0)
	return (noiseDark + noiseShare*y) / (y + floorLight)
}

// steep is the length of a plane's gradient.
func steep(v []float32, w, h, x, y int) float64 {
	dx := v[y*w+min(x+1, w-1)] - v[y*w+max(x-1, 0)]
	dy := v[min(y+1, h-1)*w+x] - v[max(y-1, 0)*w+x]
	return math.Hypot(float64(dx), float64(dy)) / 2
}

// leastChanged is the share of the panel that two papers have to change before anything
// is read off their ratio: below, it may be glints and edges that don't lie right.
const leastChanged = 0.02

// readPapers finds out which paper is the lighter, and their ratio: the upper quarter of
// what changed clearly, because shadow and walls bring less of it.
func (d *laidOver) readPapers(z []float32, in []bool) {
	var up, down []float32
	all := 0
	for i, v := range z {
		if in != nil && !in[i] {
			continue
		}
		all++
		if v > clearChange {
			up = append(up, v)
		} else if v < -clearChange {
			down = append(down, -v)
		}
	}
	d.lighter = len(down) > len(up)
	if d.lighter {
		up = down
	}
	d.papers = 0
	if float64(len(up)) >= leastChanged*float64(all) && len(up) > 0 {
		slices.SortFunc(up, cmp.Compare[float32])
		d.papers = float64(up[len(up)*3/4])
	}
}

// readBed takes the light of the paper, linear, over that in open bed, the upper quarter
// of where most of the paper shows.
func (d *laidOver) readBed(first *view, in []bool) {
	var most []float32
	for i := range d.bed.v {
		v := float32(first.luminance(i) - d.luminance(i))
		if d.lighter {
			v = -v
		}
		d.bed.v[i] = v
		if (in == nil || in[i]) && d.share.v[i] >= wholePaper {
			most = append(most, v)
		}
	}
	if len(most) == 0 {
		return
	}
	slices.SortFunc(most, cmp.Compare[float32])
	open := max(most[len(most)*3/4], 1e-4)
	for i := range d.bed.v {
		d.bed.v[i] /= open
	}
}
