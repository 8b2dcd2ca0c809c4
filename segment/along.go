package segment

import "math"

// A single red dab on a joint that the network saw faintly means all of that joint: it
// is led along the trace to the gaps at both its ends, however far the brush is from
// them. Where the network saw a joint in another place altogether, as between white
// stripes on white paper, there is no trace, and the dab is all there is.
const (
	traceTurns = 36   // directions tried in half a turn
	traceSides = 1.5  // how far a joint may go on either side of the dab, in sides of the middle tile
	leastTrace = 0.12 // gap seen along it beyond what lies beside it, in the mean: twice faintTrace
)

// alongTrace leads a dab along the clearest straight trace through it that ends in gaps
// on both sides.
func (p *painter) alongTrace(d Dab, own shape) (path []Dab, ok bool) {
	if p.tile.at(d.X, d.Y) <= .5 {
		return nil, false // it only makes a gap wider
	}
	best := leastTrace
	for k := range traceTurns {
		sin, cos := math.Sincos(math.Pi * float64(k) / traceTurns)
		a, fromGap := p.walk(d, Point{cos, sin}, own)
		b, toGap := p.walk(d, Point{-cos, -sin}, own)
		if !fromGap || !toGap {
			continue
		}
		if seen := p.depthAlong(a, b); seen > best {
			best, path, ok = seen, []Dab{a, d, b}, true
		}
	}
	return path, ok
}

// depthAlong is how much more gap was seen between two places than beside the way, in
// the mean.
func (p *painter) depthAlong(a, b Dab) (depth float64) {
	way := p.traces(steps([]Dab{a, b}))
	for _, t := range way {
		depth += (t.on - t.beside) / float64(len(way))
	}
	return depth
}

// walk goes from a dab in one direction to the first gap.
func (p *painter) walk(d Dab, dir Point, own shape) (at Dab, ok bool) {
	for s := 0.; s <= traceSides*math.Sqrt(float64(p.middle)); s++ {
		at = Dab{Point{d.X + s*dir.X, d.Y + s*dir.Y}, d.R}
		x, y := int(math.Round(at.X)), int(math.Round(at.Y))
		if x < 0 || y < 0 || x >= p.w || y >= p.h {
			return at, false
		}
		if p.leadsTo(x, y, own) {
			return at, true
		}
	}
	return at, false
}
