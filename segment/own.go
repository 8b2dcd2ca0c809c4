package segment

import (
	"math"

	"gapshade/colormath"
)

// tileColour is the mean and the spread of one tile's core in encoded sRGB
// (0…1, where equal steps look about equal).
type tileColour struct {
	n      float64
	mean   [3]float64
	linear [3]float64 // mean in linear light
	dev    float64    // root of the mean squared distance from the mean
}

// coreColours averages the sure pixels of every component.
func coreColours(ev *evidence, label []int32, n int) []tileColour {
	out := make([]tileColour, n+1)
	sq := make([]float64, n+1)
	for i, l := range label {
		if l == 0 || ev.tile.v[i] < .9 {
			continue
		}
		t := &out[l]
		t.n++
		for c := range 3 {
			v := float64(encode(ev.lin[3*i+c]))
			t.mean[c] += v
			sq[l] += v * v
		}
	}
	for l := range out {
		t := &out[l]
		if t.n == 0 {
			continue
		}
		sum := 0.0
		for c := range t.mean {
			t.mean[c] /= t.n
			t.linear[c] = colormath.DecodeSRGB(t.mean[c])
			sum += t.mean[c] * t.mean[c]
		}
		t.dev = math.Sqrt(max(0, sq[l]/t.n-sum))
	}
	return out
}

// Between two pieces without a joint (a painted chequer, a print) every colour
// is a mixture of the two. A joint has a colour of its own: bed, or shadow.
// ownFloor is the least distance from any mixture that counts, encoded sRGB.
const ownFloor = 0.03

// mostGrain is the deviation, encoded sRGB, from which a piece is of many colours:
// painted, veined, a picture. Nearly any colour is a mixture of its own; there the line
// is asked whether it shows the bed, where its colour is known.
const mostGrain = 0.08

// own is the share of the lines between neighbours whose colour is no mixture of
// theirs, nor within the grain of the pieces themselves; or, between pieces of many
// colours, is the bed's.
func own(ev *evidence, panel []bool, label, nearest []int32, n int) float64 {
	tile := coreColours(ev, label, n)
	yes, all := 0, 0
	facing(ev.w, ev.h, label, nearest, func(i, j int, a, b int32) {
		ta, tb := &tile[a], &tile[b]
		if !panel[i] || !panel[j] || ta.n == 0 || tb.n == 0 {
			return
		}
		var c [3]float64
		for k := range c {
			c[k] = float64(encode((ev.lin[3*i+k] + ev.lin[3*j+k]) / 2))
		}
		all++
		grain := (ta.dev + tb.dev) / 2
		if grain > mostGrain && ev.bed != nil {
			if ev.bed.shows(i%ev.w, i/ev.w, c) {
				yes++
			}
			return
		}
		if toMixture(c, ta, tb) > math.Hypot(ownFloor, grain) {
			yes++
		}
	})
	if all == 0 {
		return 0
	}
	return float64(yes) / float64(all)
}

// toMixture is the distance from c to the nearest mixture of two tiles' colours,
// encoded. Light mixes in linear values, and that path bows away from the straight
// line by more than ownFloor for strong colours: so it is followed in eight pieces.
func toMixture(c [3]float64, a, b *tileColour) float64 {
	const pieces = 8
	best, from := math.Inf(1), a.mean
	for i := 1; i <= pieces; i++ {
		to := b.mean
		if i < pieces {
			for k := range to {
				to[k] = float64(encode(float32(a.linear[k] + (b.linear[k]-a.linear[k])*float64(i)/pieces)))
			}
		}
		best = min(best, toSegment(c, from, to))
		from = to
	}
	return best
}

// toSegment is the distance from c to the straight way from a to b.
func toSegment(c, a, b [3]float64) float64 {
	var dot, len2 float64
	for k := range c {
		dot += (c[k] - a[k]) * (b[k] - a[k])
		len2 += (b[k] - a[k]) * (b[k] - a[k])
	}
	t := 0.0
	if len2 > 0 {
		t = min(max(dot/len2, 0), 1)
	}
	var d float64
	for k := range c {
		e := c[k] - a[k] - t*(b[k]-a[k])
		d += e * e
	}
	return math.Sqrt(d)
}

// fewInner is the number of pixels below which a piece is too small to tell pattern from
// its rims; a bevel reaches bevelGaps of a joint's width into it.
const (
	fewInner  = 60
	bevelGaps = 0.4
)

// patterned is the share of the panel's tile, clear of bevels, in pieces of many colours.
func (ev *evidence) patterned() float64 {
	in := ev.lay.panel
	runs, n := components(ev.w, ev.h, func(i int) bool { return in[i] && ev.tile.v[i] > .5 })
	inner, _ := distances(ev.w, ev.h, func(i int) bool { return ev.tile.v[i] <= .5 })
	label := make([]int32, ev.w*ev.h)
	bevel := float32(max(bevelGaps*ev.lay.gap, 2))
	for _, r := range runs {
		for i := r.y*ev.w + r.x0; i < r.y*ev.w+r.x1; i++ {
			if inner[i] > bevel {
				label[i] = r.id
			}
		}
	}
	many, all := 0., 0.
	for _, t := range coreColours(ev, label, n)[1:] {
		all += t.n
		if t.dev > mostGrain && t.n >= fewInner {
			many += t.n
		}
	}
	return many / max(all, 1)
}
