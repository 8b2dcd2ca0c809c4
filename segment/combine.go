package segment

import (
	"math"

	"gapshade/colormath"
)

// Light and network say together what is tile: the light where it tells, the network where
// it doesn't, and the more of it the better it agrees with the light.

// How much the light says for bed, in natural log odds, by the share of the paper that
// shows; between, along straight lines. Next to nothing of it is face; up to a half it may
// be a shadow or a tile that light passes, and a sure network has the last word; from
// four fifths on it is bed. Ours; path-traced pairs of plain faces hardly mind (.955 to
// .961), on painted ones the place of the zero counts (.07: .949, .1: .943).
var lightSays = [...][2]float64{{0, -6}, {unchanged, -5}, {.07, 0}, {.5, 1}, {wholePaper, 6}}

// Shares of the paper that are clear: of a face, and of open bed.
const (
	unchanged  = 0.03
	wholePaper = 0.8
)

// The rim beside open bed, view px from it: nothing that is unchanged counts as face up to
// rimFrom where the network is believed, everything from rimTo on.
const (
	rimFrom = 2.0
	rimTo   = 4.0
)

// networkSays bounds the network's log odds.
const networkSays = 3.0

// lightOdds reads lightSays.
func lightOdds(share float64) float64 {
	last := lightSays[0]
	for _, p := range lightSays[1:] {
		if share < p[0] {
			return last[1] + (p[1]-last[1])*(share-last[0])/(p[0]-last[0])
		}
		last = p
	}
	return last[1]
}

// combine is the coverage that light and network give together. Unchanged table round
// the sheet is no face: where no panel is given, what hangs together with the view's edge
// is left to the network.
func (d *laidOver) combine(first *view, tile *plane, panel *Quad, threads int) *plane {
	out := newPlane(d.w, d.h)
	beside, _ := distances(d.w, d.h, func(i int) bool { return d.share.v[i] > .5 && d.known.v[i] > .5 })
	trust, light, told := d.trust(tile, beside), newPlane(d.w, d.h), newPlane(d.w, d.h)
	d.carry(light, told, threads)
	colormath.Rows(d.h, threads, func(y0, y1 int) {
		for i := y0 * d.w; i < y1*d.w; i++ {
			bright := max(first.luminance(i), d.luminance(i))
			s := said{float64(light.v[i]), float64(told.v[i]), float64(tile.v[i]), trust(i)}
			odds := s.odds(float64(beside[i]), bright, bright/max(float64(d.rough.V[i]), 1e-6))
			out.v[i] = float32(1 / (1 + math.Exp(odds)))
		}
	})
	if panel == nil {
		d.leaveTable(out, tile)
	}
	return out
}

// carry reads off every pixel what the light says there and how far it is told, and
// carries it over to pixels close by that tell nothing, as at the sharp edge of a stripe.
func (d *laidOver) carry(light, told *plane, threads int) {
	colormath.Rows(d.h, threads, func(y0, y1 int) {
		for i := y0 * d.w; i < y1*d.w; i++ {
			told.v[i] = d.known.v[i]
			odds := lightOdds(float64(d.share.v[i]))
			if d.share.v[i] < .5 {
				odds -= faint * (1 - ramp(float64(d.bed.v[i]), leastBed, enoughBed))
			}
			light.v[i] = d.known.v[i] * float32(odds)
		}
	})
	far, near := light.paired(), told.paired()
	for range carryPasses {
		far, near = far.Soft(threads), near.Soft(threads)
	}
	for i, k := range d.known.v {
		light.v[i] += (1 - k) * far.V[i] / (near.V[i] + leastTold)
		told.v[i] += (1 - k) * near.V[i] / (near.V[i] + leastTold)
	}
}

// Where less than half of the paper shows and its light is faint, it is likelier to be what
// a lens smears over a dark face than a gap: the ratio of a dark face doubles where a
// tenth of it is bed. faint is what that takes off, in log odds, below leastBed of the
// light in open bed, and nothing from enoughBed on. With it edges of dark stripes start
// where they are (drawn pair: IoU .82 to .91; painted plates .947 to .956).
const (
	faint               = 2.5
	leastBed, enoughBed = 0.04, 0.12
)

// carryPasses carry over a Gaussian of 1.4 px; leastTold keeps what is hardly told at all
// from being carried.
const (
	carryPasses = 4
	leastTold   = 0.1
)

// said is what there is to judge a pixel by: the light's log odds and how far they are
// told, the network's coverage and how far it is believed.
type said struct{ light, told, tile, trust float64 }

// odds are the natural log odds of gap. beside is how far the pixel lies from open bed:
// in the rim there a believed network knows better which side wall belongs to the gap.
// bright is the lighter photo's luminance and relative the same by what lies about: black
// in both photos may be a crevice that no paper's light reaches.
func (s said) odds(beside, bright, relative float64) float64 {
	light, told := s.light, s.told
	if light < 0 {
		light *= 1 - s.trust + s.trust*ramp(beside, rimFrom, rimTo)
		open := ramp(bright, crevice, daylight) * (1 - s.trust*(1-ramp(relative, creviceShare, daylightShare)))
		light, told = light*open, told*open
	} else {
		light -= s.trust * min(light, 1)
	}
	p := min(max(s.tile, .01), .99)
	network := min(max(math.Log((1-p)/p), -networkSays), networkSays)
	return light + (s.trust+(1-s.trust)*(1-told))*network
}

// What is darker than crevice in both photos, linear, tells nothing of paper; from
// daylight on it does. So with a line that is much darker than what lies about it, where
// the network is believed: there tiles touch.
const (
	crevice, daylight           = 0.008, 0.03
	creviceShare, daylightShare = 0.4, 0.7
)

// leaveTable puts the network's answer back in pieces that reach the view's edge.
func (d *laidOver) leaveTable(out, tile *plane) {
	runs, n := components(d.w, d.h, func(i int) bool { return out.v[i] > .5 })
	edge := make([]bool, n+1)
	for _, r := range runs {
		if r.y == 0 || r.y == d.h-1 || r.x0 == 0 || r.x1 == d.w {
			edge[r.id] = true
		}
	}
	for _, r := range runs {
		if edge[r.id] {
			copy(out.v[r.y*d.w+r.x0:r.y*d.w+r.x1], tile.v[r.y*d.w+r.x0:])
		}
	}
}

// own says that what shows between the pieces is bed: it changed with the paper, as no
// painted chequer does. Then it may also be of any width, where tiles are missing.
func (d *laidOver) own(lay *layout) {
	if d.papers > 0 {
		lay.terms.own, lay.terms.steady, lay.terms.size = 1, 1, 1
		lay.score = lay.terms.score()
	}
}

// trust says how far the network is believed at a place: as far as it agrees with the
// light round about, where that is clear. On painted faces it is not.
func (d *laidOver) trust(tile *plane, beside []float32) func(i int) float64 {
	nx, ny := (d.w+trustSide-1)/trustSide, (d.h+trustSide-1)/trustSide
	right, all := newPlane(nx, ny), newPlane(nx, ny)
	for i, s := range d.share.v {
		face := s < unchanged && float64(beside[i]) > rimTo
		if d.known.v[i] < .5 || !face && s < wholePaper {
			continue
		}
		k := i/d.w/trustSide*nx + i%d.w/trustSide
		all.v[k]++
		if (tile.v[i] > .5) == face {
			right.v[k]++
		}
	}
	for range 2 {
		right, all = right.soft(), all.soft()
	}
	for k := range right.v {
		right.v[k] = float32(ramp(float64((right.v[k]+1)/(all.v[k]+1)), distrust, fullTrust))
	}
	return func(i int) float64 {
		return float64(right.at((float64(i%d.w)+.5)/trustSide-.5, (float64(i/d.w)+.5)/trustSide-.5))
	}
}

// trust is read over squares of so many px, a few tiles with their neighbours; from which
// share of agreement the network counts at all, and in full. Where faces are plain it
// agrees in more than .99 of the places; on veined stone in .9 to .99, on painted plates
// in less than .8.
const (
	trustSide = 32
	distrust  = 0.9
	fullTrust = 0.99
)

func (p *plane) soft() *plane { return &plane{p.w, p.h, p.paired().Soft(1).V} }
