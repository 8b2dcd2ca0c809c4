package segment

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// openBed is how open, well-lit bed looks over a view: a colour in linear light under
// a light that may change over the picture, log(colour) = c + X·x + Y·y per channel
// with one slope for all.
type openBed struct {
	w, h   int
	log    [3]float64 // in the middle of the view
	dx, dy float64    // change of the logarithm from edge to edge
}

// at is the bed's colour at a pixel, sRGB-encoded.
func (b *openBed) at(x, y int) (c [3]float32) {
	slope := b.dx*(float64(x)/float64(b.w)-.5) + b.dy*(float64(y)/float64(b.h)-.5)
	for k := range c {
		c[k] = encode(float32(math.Exp(b.log[k] + slope)))
	}
	return c
}

// How much darker bed may be in the shadow of tiles, and how far its hue may go there
// with light thrown back by faces; logarithms, ours.
const (
	deepestShade = 1.8
	hueDrift     = 0.35
)

// shows says whether an sRGB-encoded colour can be this bed, lit or in shadow.
func (b *openBed) shows(x, y int, c [3]float64) bool {
	level, drift := b.against(x, y, c)
	return level < bedSpread && level > -deepestShade && drift < hueDrift
}

// against compares an sRGB-encoded colour with the bed's at a place: how much lighter it
// is, and how far its hue and saturation lie from the bed's; logarithms.
func (b *openBed) against(x, y int, c [3]float64) (level, drift float64) {
	bed := b.at(x, y)
	var ratio [3]float64
	for k := range ratio {
		const floor = .03 // linear; in the dark a logarithm is mostly noise and light thrown back
		ratio[k] = math.Log((colormath.DecodeSRGB(c[k]) + floor) / (colormath.DecodeSRGB(float64(bed[k])) + floor))
		level += ratio[k] / 3
	}
	return level, max(ratio[0], ratio[1], ratio[2]) - min(ratio[0], ratio[1], ratio[2])
}

// on carries it over to a look at another scale.
func (b *openBed) on(v *view) *openBed {
	if b == nil {
		return nil
	}
	out := *b
	out.w, out.h = v.w, v.h
	return &out
}

// Where open bed is looked for, how much of it there must be, and how alike.
const (
	surelyBed = 0.08 // tile coverage below which the network is sure
	beltGaps  = 3.0  // how far beyond the outermost tiles a sheet can be counted on, in gaps
	openGaps  = 1.0  // farther from all tiles than this, bed lies open, in gaps
	leastOpen = 150  // view px
	bedSpread = 0.35 // of the logarithm: a sheet whose shades scatter more is no one colour
	bedCells  = 4    // the light's slope is read from so many columns and rows
)

// bedOf reads the open bed off a first look: first where it lies open beside the
// tiles and in empty places, else the best-lit part of the gaps. It returns nil when
// what was found there is no one colour.
func (ev *evidence) bedOf(named *colormath.LinearRGB) *openBed {
	away, _ := distances(ev.w, ev.h, func(i int) bool { return ev.tile.v[i] > .5 })
	gap := max(ev.lay.gap, 2)
	var open, between []int
	for i, d := range away {
		if ev.tile.v[i] >= surelyBed || float64(d) > beltGaps*gap {
			continue
		}
		switch {
		case float64(d) > openGaps*gap:
			open = append(open, i)
		case d > 1.5 && ev.lay.panel[i]:
			between = append(between, i)
		}
	}
	a, b := ev.oneColour(open), ev.oneColour(between)
	switch {
	case a == nil:
		return b
	case b != nil && named != nil && b.unlike(*named) < a.unlike(*named)-.2:
		return b
	}
	return a
}

// unlike compares hues and saturations: how far the ratios of the channels lie from a
// named colour's, in logarithms. The light's strength is not known, so lightness tells
// nothing, and under a coloured light little is left.
func (b *openBed) unlike(named colormath.LinearRGB) float64 {
	n := [3]float64{math.Log(max(named.R, .003)), math.Log(max(named.G, .003)), math.Log(max(named.B, .003))}
	return math.Hypot(b.log[0]-b.log[1]-n[0]+n[1], b.log[2]-b.log[1]-n[2]+n[1])
}

// oneColour fits the well-lit part of some pixels: in each cell of a coarse grid those
// between the 60th and the 92nd percentile of luminance, as the network was taught. It
// returns nil where there are too few, or where they are of many colours.
func (ev *evidence) oneColour(at []int) *openBed {
	if len(at) < leastOpen {
		return nil
	}
	cells := make([][]int, bedCells*bedCells)
	for _, i := range at {
		c := i%ev.w*bedCells/ev.w + i/ev.w*bedCells/ev.h*bedCells
		cells[c] = append(cells[c], i)
	}
	var lit []int
	for _, c := range cells {
		if len(c) < leastOpen/bedCells {
			continue
		}
		slices.SortFunc(c, func(i, j int) int { return cmp.Or(cmp.Compare(ev.luminance(i), ev.luminance(j)), cmp.Compare(i, j)) })
		lit = append(lit, c[len(c)*60/100:len(c)*92/100+1]...)
	}
	if len(lit) < leastOpen/4 {
		return nil
	}
	return ev.fitBed(lit)
}

// fitBed fits colour and slope, leaves out what lies far off, and fits again.
func (ev *evidence) fitBed(at []int) *openBed {
	b := &openBed{w: ev.w, h: ev.h}
	for range 3 {
		var f planeFit
		var sum [3]float64
		for _, i := range at {
			x, y := float64(i%ev.w)/float64(ev.w)-.5, float64(i/ev.w)/float64(ev.h)-.5
			f.add(x, y, ev.logLight(i))
			for k := range sum {
				sum[k] += math.Log(max(float64(ev.lin[3*i+k]), darkestBed))
			}
		}
		slope := f.slope()
		b.dx, b.dy = min(max(slope.X, -1), 1), min(max(slope.Y, -1), 1)
		for k := range sum {
			b.log[k] = (sum[k] - b.dx*f.x - b.dy*f.y) / f.n
		}
		kept := slices.DeleteFunc(slices.Clone(at), func(i int) bool { return ev.fromBed(b, i) > bedSpread })
		if 5*len(kept) < 3*len(at) {
			return nil // of many colours
		}
		at = kept
	}
	return b
}

// darkestBed is the least light counted, linear: an 8-bit 3 in sRGB.
const darkestBed = 1e-3

func (ev *evidence) logLight(i int) float64 { return math.Log(max(ev.luminance(i), darkestBed)) }

// fromBed is how far a pixel's colour lies from the bed's, in logarithms, deep shades
// counting less: in the dark a logarithm is mostly noise.
func (ev *evidence) fromBed(b *openBed, i int) float64 {
	slope := b.dx*(float64(i%ev.w)/float64(ev.w)-.5) + b.dy*(float64(i/ev.w)/float64(ev.h)-.5)
	far := 0.
	for k := range b.log {
		const floor = .01
		far = max(far, math.Abs(math.Log((float64(ev.lin[3*i+k])+floor)/(math.Exp(b.log[k]+slope)+floor))))
	}
	return far
}
