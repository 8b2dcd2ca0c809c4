package segment

import (
	"math"
	"sort"

	"gapshade/colormath"
)

// layout is what one look says about the panel: pieces, gap width, and how far
// it looks like laid tiles at all.
type layout struct {
	panel []bool    // view px that belong to the panel
	quad  Quad      // its corners, or the box round a free one, view px
	pts   []Point   // outline, view px
	holes [][]Point // openings in it, view px
	free  bool      // it has no four corners
	whole bool      // no panel stood out: the whole view
	gap   float64   // median gap width, view px
	tiles int       // pieces larger than a speck
	score float64   // plausibility, 0…1
	terms terms     // what the score is made of
}

// readLayout finds pieces, panel and gap width in the network's answer.
func readLayout(ev *evidence, opt Options) *layout {
	w, h := ev.tile.w, ev.tile.h
	lay := &layout{}
	if opt.Panel != nil {
		lay.quad = Quad(ev.pointsInView(opt.Panel[:]))
		lay.pts = lay.quad[:]
		for _, hole := range opt.Holes {
			lay.holes = append(lay.holes, ev.pointsInView(hole))
		}
		lay.panel = filled(w, h, lay.pts, lay.holes...)
	} else if !lay.find(ev, shoulder{opt.ShoulderPx, opt.ShoulderMm, opt.PanelMm2}) {
		lay.takeAll(w, h)
	}
	on := func(i int) bool { return ev.tile.v[i] > .5 && lay.panel[i] }
	runs, n := components(w, h, on)
	size := areas(runs, n)
	speck := speckLimit(size[1:])
	label := make([]int32, w*h)
	for _, r := range runs {
		if size[r.id] >= speck {
			for x := r.x0; x < r.x1; x++ {
				label[r.y*w+x] = r.id
			}
		}
	}
	lay.measure(ev, label, size, speck)
	return lay
}

// measure fills in the gap width and the plausibility.
func (lay *layout) measure(ev *evidence, label []int32, size []int, speck int) {
	w, h := ev.tile.w, ev.tile.h
	dist, nearest := distances(w, h, func(i int) bool { return label[i] > 0 })
	coloured := make(chan float64, 1) // the slowest term, found beside the others
	go func() { coloured <- own(ev, lay.panel, label, nearest, len(size)-1) }()
	var widths []float64
	facing(w, h, label, nearest, func(i, j int, a, b int32) {
		if lay.panel[i] && lay.panel[j] {
			widths = append(widths, float64(dist[i]+dist[j]))
		}
	})
	if len(widths) > 0 {
		sort.Float64s(widths)
		lay.gap = colormath.Quantile(widths, .5)
	}
	for _, s := range size[1:] {
		if s >= speck {
			lay.tiles++
		}
	}
	lay.terms = judge(ev, lay, label, size, speck, widths)
	lay.terms.own = ramp(<-coloured, .12, .5)
	lay.score = lay.terms.score()
}

// facing calls f for every pair of neighbouring pixels that are nearest to two
// different tiles: the line halfway between them.
func facing(w, h int, label, nearest []int32, f func(i, j int, a, b int32)) {
	for y := range h {
		for x := range w {
			i := y*w + x
			if nearest[i] < 0 {
				return
			}
			a := label[nearest[i]]
			if x+1 < w {
				if b := label[nearest[i+1]]; b != a {
					f(i, i+1, a, b)
				}
			}
			if y+1 < h {
				if b := label[nearest[i+w]]; b != a {
					f(i, i+w, a, b)
				}
			}
		}
	}
}

// speckLimit is the area below which a piece is a speck: a small share of the
// middle tile.
func speckLimit(size []int) int {
	return max(6, int(math.Round(speckShare*float64(middleSize(size)))))
}

// middleSize is the area of the middle tile, 0 without any; the middle is taken
// by area so that specks do not vote.
func middleSize(size []int) int {
	s := append([]int(nil), size...)
	sort.Ints(s)
	total := 0
	for _, a := range s {
		total += a
	}
	sum := 0
	for _, a := range s {
		if sum += a; 2*sum >= total {
			return a
		}
	}
	return 0
}

// speckShare: real tesserae cut for a corner go down to about a twentieth of
// their neighbours; below a thirtieth it was always glare or grain on the
// drawn layouts.
const speckShare = 0.03
