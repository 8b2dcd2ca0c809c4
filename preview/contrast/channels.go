package contrast

import "math"

// Joints that run on straight through many tiles draw a grid over the picture;
// mosaic makers avoid such channels. How a line is judged (ours): it is followed
// channelReach tiles to either side of a joint, and counts when it stays in joints
// for at least channelStays of the way. In running bond the long joints do, the
// short ones hit a tile after one course.
const (
	channelReach = 3.0  // pitches
	channelStays = 0.85 // of the way
	leastWay     = 3.0  // pitches that must lie on the panel
)

// follow finds the borders whose joint runs on straight.
func (p *Panel) follow() {
	p.channel = make([]float64, len(p.Map.Borders))
	straight := 0.0
	for b, border := range p.Map.Borders {
		p.length += float64(border.Length)
		if p.scheme != nil && p.scheme.runsOn(p.scheme.across[b], p.PitchPx()/float64(p.scheme.side)) {
			p.channel[b] = float64(border.Length)
			straight += p.channel[b]
		}
	}
	if p.scheme != nil {
		p.scheme.thin()
	}
	if p.length > 0 {
		p.Channels = straight / p.length
	}
}

// runsOn follows the line through the middles of one joint; pitch is in cells.
func (s *scheme) runsOn(middles []place, pitch float64) bool {
	x, y, dx, dy, ok := lineThrough(middles)
	if !ok {
		return false
	}
	on, all := 0, 0
	for t := -channelReach * pitch; t <= channelReach*pitch; t++ {
		i, j := int(math.Round(x+t*dx)), int(math.Round(y+t*dy))
		if i < 0 || j < 0 || i >= s.w || j >= s.h || s.out[j*s.w+i] {
			continue
		}
		all++
		if s.depth[j*s.w+i] <= stepStraight { // joint, or the outermost cell of a tile
			on++
		}
	}
	return float64(all) >= leastWay*pitch && float64(on) >= channelStays*float64(all)
}

// lineThrough is the line of least squares through places: their middle and the
// direction in which they spread most. Not ok for a knot of places without one.
func lineThrough(p []place) (x, y, dx, dy float64, ok bool) {
	n := float64(len(p))
	if n < 3 {
		return 0, 0, 0, 0, false
	}
	var sx, sy, sxx, sxy, syy float64
	for _, q := range p {
		x, y := float64(q.x), float64(q.y)
		sx, sy, sxx, sxy, syy = sx+x, sy+y, sxx+x*x, sxy+x*y, syy+y*y
	}
	x, y = sx/n, sy/n
	xx, xy, yy := sxx/n-x*x, sxy/n-x*y, syy/n-y*y
	angle := math.Atan2(2*xy, xx-yy) / 2
	dy, dx = math.Sincos(angle)
	return x, y, dx, dy, math.Hypot(xx-yy, 2*xy) > 0
}

// grid is how much the joints stand out as straight lines through the panel: the
// share of their length that runs on, each length weighted by how strongly the
// joint shows against the two tiles beside it (0 below soft, 1 from HyAB 40).
func (p *Panel) grid(hyab func(i int) float64) float64 {
	if p.length == 0 {
		return 0
	}
	sum := 0.0
	for b, l := range p.channel {
		if l > 0 {
			border := p.Map.Borders[b]
			sum += l * ramp((hyab(border.A-1)+hyab(border.B-1))/2, 5, 40)
		}
	}
	return sum / p.length
}
