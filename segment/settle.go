package segment

import (
	"math"
	"slices"

	"gapshade/colormath"
)

// A photo on another paper tells tile from bed by more than colour: a face looks the
// same on both, and everything below the faces takes light from the paper, side
// walls too, which the network has to guess at. So the network says which edges there
// are, and the change of light says where each stands.

// edgePoint is one point of an edge: its place, the direction from tile to gap, how
// far it has been moved that way and how far it is to be moved next.
type edgePoint struct {
	x, y, nx, ny      float64
	moved, by, weight float64
	tile              int32
}

// Profiles across an edge, in units, from halfStep on the tile's side to halfStep in the
// gap, a sample every half unit. A unit is as wide as the picture's blur asks: stepUnits
// times its standard deviation. It is no less than a camera smears a step, leastSmear px
// of the photo, and within leastUnit and mostUnit (view px, where a joint is about
// eight wide). The wider, the more of a visible side wall an edge leaves out; the
// narrower, the further blur draws it outwards: flat drawn edges come out .02 to .12 px
// too far out for blurs of .3 to 1.2 px.
const (
	profileStep = 0.5
	profileLen  = 7
	halfStep    = 1.5

	stepUnits           = 1.35
	leastSmear          = 0.85
	leastUnit, mostUnit = 0.6, 1.8
)

// mostInward is how far an edge may be moved into the gap in all, view px: further off
// the network is right and the light is not, because beside bright bed the side wall
// of a dark tile takes so little light from the paper that it looks like face.
const mostInward = 1.0

// settle moves the edges of ev's coverage to where the light begins to change, and
// draws them anew.
func (c *change) settle(threads int) {
	points := c.edges(threads)
	c.focus(points, threads)
	for range 2 { // from its new place, a step is seen whole
		c.measure(points, threads)
		c.even(points, threads)
		for i := range points {
			p := &points[i]
			p.x, p.y, p.moved = p.x+p.by*p.nx, p.y+p.by*p.ny, p.moved+p.by
		}
	}
	c.draw(points)
}

// focus sets the unit by the picture's blur, and how much of a step shows where the
// gap's light is read. The blur is read in units itself, so it takes a few rounds.
func (c *change) focus(points []edgePoint, threads int) {
	c.unit, c.seen = 1.2, 1
	for range 3 {
		sigma := c.sharpness(points, threads)
		c.unit = min(max(stepUnits*sigma, leastSmear*c.ev.scale, leastUnit), mostUnit)
		c.seen = (beyond(halfStep*c.unit/sigma) + beyond((halfStep-profileStep)*c.unit/sigma)) / 2
	}
}

// beyond is how far a step with the blur of a Gaussian has risen, so many standard
// deviations behind its middle.
func beyond(n float64) float64 { return math.Erfc(-n/math.Sqrt2) / 2 }

// sharpness is the standard deviation of the picture's blur, view px, as the steepest
// unit of the middle one of all clear steps shows it.
func (c *change) sharpness(points []edgePoint, threads int) float64 {
	widths := make([]float64, len(points))
	colormath.Rows(len(points), threads, func(i0, i1 int) {
		for i := i0; i < i1; i++ {
			f, profile := &c.face[points[i].tile], c.profile(&points[i])
			if _, weight := f.step(&profile, c.seen); weight < 1 {
				continue
			}
			steepest := 0.0
			for k := 2; k < profileLen; k++ {
				steepest = max(steepest, profile[k]-profile[k-2])
			}
			rise := min(steepest/f.height(&profile, c.seen), .999)
			widths[i] = profileStep * c.unit / (math.Sqrt2 * math.Erfinv(rise))
		}
	})
	widths = slices.DeleteFunc(widths, func(w float64) bool { return w == 0 })
	if len(widths) == 0 {
		return c.unit / stepUnits
	}
	slices.Sort(widths)
	return colormath.Quantile(widths, .5)
}

// edges are the points where the coverage passes a half.
func (c *change) edges(threads int) []edgePoint {
	w, h := c.ev.w, c.ev.h
	rows := make([][]edgePoint, h)
	colormath.Rows(h, threads, func(y0, y1 int) {
		for y := max(y0, 2); y < min(y1, h-2); y++ {
			for x := 2; x < w-2; x++ {
				i := y*w + x
				if !c.ev.lay.panel[i] || !c.ev.atEdge(i) {
					continue
				}
				nx, ny := c.ev.tile.outwards(i)
				l := math.Hypot(nx, ny)
				if l < .25 {
					continue // no clear edge
				}
				// The five-px gradient is about four times the slope.
				d := min(max((float64(c.ev.tile.v[i])-.5)*4/l, -1), 1)
				p := edgePoint{nx: nx / l, ny: ny / l, tile: c.tiles.owner(i)}
				p.x, p.y = float64(x)+d*p.nx, float64(y)+d*p.ny
				rows[y] = append(rows[y], p)
			}
		}
	})
	var all []edgePoint
	for _, r := range rows {
		all = append(all, r...)
	}
	return all
}

// measure finds, for every point, how far the step of light lies from it.
func (c *change) measure(points []edgePoint, threads int) {
	colormath.Rows(len(points), threads, func(i0, i1 int) {
		for i := i0; i < i1; i++ {
			p := &points[i]
			profile := c.profile(p)
			p.by, p.weight = c.face[p.tile].step(&profile, c.seen)
			p.by = min(p.by*c.unit, mostInward-p.moved)
		}
	})
}

// profile reads the light of the bed across an edge, averaged over five lines side by
// side (weights of a Gaussian of two px).
func (c *change) profile(p *edgePoint) (out [profileLen]float64) {
	beside := [...]float64{.60653, .8825, 1, .8825, .60653}
	const sum = .60653 + .8825 + 1 + .8825 + .60653
	for i := range out {
		n := c.unit * (profileStep*float64(i) - halfStep)
		for j, k := range beside {
			t := float64(j - 2)
			out[i] += k / sum * float64(c.light.at(p.x+n*p.nx-t*p.ny, p.y+n*p.ny+t*p.nx))
		}
	}
	return out
}

// step is where one step from the face's light to that of the gap has the same sum as
// the profile (the moment-preserving edge: Tabatabai, Mitchell, IEEE Transactions on
// Pattern Analysis 6, 1984, 188–201; its first moment alone), in units. The gap's light
// is read right behind the edge, because side walls show less of it than the bed and a
// shadow lies along every wall; seen is the share of it that blur lets show there.
// weight tells a step from noise.
//
// Decided against: each pixel's share of the light in the gap's middle, which noise and
// glints spoil in the faces and which stops at the foot of the walls (IoU .72 on
// path-traced pairs, .86 near the network's gaps only, where this gives .96); and
// fitting a step and a slope, whose blur and slope take each other's place (.95).
func (f *face) step(profile *[profileLen]float64, seen float64) (by, weight float64) {
	height := f.height(profile, seen)
	if height <= 0 {
		return 0, 0
	}
	var area float64
	for i, light := range profile {
		share := min(max((light-f.change)/height, 0), 1)
		if i == 0 || i == profileLen-1 {
			share /= 2
		}
		area += share * profileStep
	}
	noise := lightNoise*f.bright + darkNoise
	return halfStep - area, ramp(height/noise, 2, 6)
}

// height is the step's: from the face's light to the gap's.
func (f *face) height(profile *[profileLen]float64, seen float64) float64 {
	gap := (profile[profileLen-1] + profile[profileLen-2]) / 2
	return (gap - f.change) / seen
}

// Noise of the light of the bed after averaging: as a share of the face's brightness,
// and what eight bits leave in the dark (ours).
const (
	lightNoise = 0.02
	darkNoise  = 0.002
)

// evenReach is how far along its edge a point is evened out, px.
const evenReach = 4

// even averages the shifts along each edge, by weight, with those of the same tile
// that face the same way: noise goes, corners stay. Where nothing was measured the
// network's edge stays.
func (c *change) even(points []edgePoint, threads int) {
	w, h := c.ev.w, c.ev.h
	at := make([]int32, w*h) // one more than the index of the point in a pixel
	for i := range points {
		at[c.pixel(&points[i])] = int32(i + 1)
	}
	by := make([]float64, len(points))
	colormath.Rows(len(points), threads, func(i0, i1 int) {
		for i := i0; i < i1; i++ {
			p := &points[i]
			x, y := c.pixel(p)%w, c.pixel(p)/w
			sum, weight := 0.0, .02
			for yy := max(y-evenReach, 0); yy <= min(y+evenReach, h-1); yy++ {
				for xx := max(x-evenReach, 0); xx <= min(x+evenReach, w-1); xx++ {
					k := at[yy*w+xx]
					if k == 0 || points[k-1].tile != p.tile {
						continue
					}
					q := &points[k-1]
					along := max(0, p.nx*q.nx+p.ny*q.ny)
					d := (p.x-q.x)*(p.x-q.x) + (p.y-q.y)*(p.y-q.y)
					share := q.weight * along * along * math.Exp(-d/8)
					sum += share * q.by
					weight += share
				}
			}
			by[i] = sum / weight
		}
	})
	for i := range points {
		points[i].by = by[i]
	}
}

// pixel is the view pixel that a point lies in.
func (c *change) pixel(p *edgePoint) int {
	x, y := clampInt(int(math.Round(p.x)), 0, c.ev.w-1), clampInt(int(math.Round(p.y)), 0, c.ev.h-1)
	return y*c.ev.w + x
}

// draw writes the coverage anew: 1 in tiles, 0 in gaps, and a ramp of two px along
// the edges, as the network draws them where it is sure. Each pixel takes the mean
// distance to the tangents of the points nearby (implicit moving least squares;
// Kolluri, "Provably good moving least squares", SODA 2005).
func (c *change) draw(points []edgePoint) {
	w, h := c.ev.w, c.ev.h
	sum, weight := newPlane(w, h), newPlane(w, h)
	const reach, spread = 3, 1.0
	for i := range points {
		p := &points[i]
		x0, y0 := int(math.Round(p.x)), int(math.Round(p.y))
		for y := max(y0-reach, 0); y <= min(y0+reach, h-1); y++ {
			for x := max(x0-reach, 0); x <= min(x0+reach, w-1); x++ {
				dx, dy := float64(x)-p.x, float64(y)-p.y
				k := math.Exp(-(dx*dx + dy*dy) / (2 * spread * spread))
				sum.v[y*w+x] += float32(k * (dx*p.nx + dy*p.ny))
				weight.v[y*w+x] += float32(k)
			}
		}
	}
	for i := range c.ev.tile.v {
		t := &c.ev.tile.v[i]
		switch {
		case *t <= .5 && c.parts(i):
			continue
		case weight.v[i] > 0:
			*t = min(max(.5-sum.v[i]/weight.v[i]/2, 0), 1)
		case *t > .5:
			*t = 1
		default:
			*t = 0
		}
	}
}

// parts says that a gap's pixel lies between two tiles that all but touch: so thin a line
// has no clear edges to be drawn by, and without it they would become one.
func (c *change) parts(i int) bool {
	x, y, l := i%c.ev.w, i/c.ev.w, c.tiles.label
	if x < 2 || y < 2 || x >= c.ev.w-2 || y >= c.ev.h-2 {
		return false
	}
	for _, step := range [2]int{1, c.ev.w} {
		a, b := max(l[i-step], l[i-2*step]), max(l[i+step], l[i+2*step])
		if a != 0 && b != 0 && a != b {
			return true
		}
	}
	return false
}
