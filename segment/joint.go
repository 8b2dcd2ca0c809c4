package segment

import (
	"image"
	"math"

	"gapshade/colormath"
)

// A joint that the network missed is seldom without any trace: its answer dips
// there, though not below a half. So a stroke along it is laid into the deepest
// trace within reach, and the joint gets the trace's width; where there is none it
// runs where it was painted, as wide as the middle gap.

// toGaps adds to both ends of a path, where they lie on tile, the nearest gap
// ahead within a gap and the brush's radius: a rough stroke stops short of the
// next joint. ok says that a single disc was led to gaps on two sides.
func (p *painter) toGaps(path []Dab, own shape) (out []Dab, ok bool) {
	first, last := path[0], path[len(path)-1]
	head, tail := ahead(path[min(1, len(path)-1)], first), ahead(path[max(len(path)-2, 0)], last)
	from, gotFrom := p.nearestGap(first, head, own)
	if len(path) == 1 && gotFrom {
		tail = ahead(from, first)
	}
	to, gotTo := p.nearestGap(last, tail, own)
	if len(path) == 1 && !(gotFrom && gotTo) {
		return path, false
	}
	if gotFrom {
		out = append(out, from)
	}
	out = append(out, path...)
	if gotTo {
		out = append(out, to)
	}
	return out, len(path) == 1
}

// ahead is the direction from a to b, a vector of length 1 or 0.
func ahead(a, b Dab) Point {
	l := math.Hypot(b.X-a.X, b.Y-a.Y)
	if l == 0 {
		return Point{}
	}
	return Point{(b.X - a.X) / l, (b.Y - a.Y) / l}
}

// nearestGap looks for gap near a disc on tile, not farther than 60° off a
// direction (any direction when that is zero).
func (p *painter) nearestGap(d Dab, dir Point, own shape) (at Dab, ok bool) {
	x, y := clampInt(int(math.Round(d.X)), 0, p.w-1), clampInt(int(math.Round(d.Y)), 0, p.h-1)
	if p.tile.at(d.X, d.Y) <= .5 && p.leadsTo(x, y, own) {
		return at, false
	}
	best := d.R + p.gap
	each(p.around([]Dab{d}, p.gap), func(x, y int) {
		dx, dy := float64(x)-d.X, float64(y)-d.Y
		l := math.Hypot(dx, dy)
		if l < best && p.leadsTo(x, y, own) && dx*dir.X+dy*dir.Y >= .5*l*math.Hypot(dir.X, dir.Y) {
			best, at, ok = l, Dab{Point{float64(x), float64(y)}, d.R}, true
		}
	})
	return at, ok
}

// leadsTo says whether a pixel is gap that a stroke may lead to. What the network sees
// under the stroke itself once it was told of it is no other gap than the stroke's own.
func (p *painter) leadsTo(x, y int, own shape) bool {
	i := y*p.w + x
	return p.tile.v[i] <= .5 && (p.bare == nil || p.bare.v[i] <= .5 || p.painted[i] == ShowsGap || !own.covers(x, y))
}

// Costs of leaving the painted line: aside at the end of the reach as much as a
// trace of that depth, and a step sideways as much as so many px of it (ours).
const (
	asideCost = 0.15
	stepCost  = 0.1
)

// follow lays a path into the deepest trace within reach of the brush and half a
// gap, and returns it px by px: of all lines that move sideways by at most one px
// per px, the one that costs least, tile coverage and sidesteps added up.
func (p *painter) follow(path []Dab, radius float64) []Point {
	line := steps(path)
	n := len(line)
	reach := int(math.Ceil(min(radius, p.gap) + p.gap/2))
	wide := 2*reach + 1
	normal := make([]Point, n)
	for k := range line {
		a, b := line[max(k-3, 0)], line[min(k+3, n-1)]
		l := max(math.Hypot(b.X-a.X, b.Y-a.Y), 1e-9)
		normal[k] = Point{-(b.Y - a.Y) / l, (b.X - a.X) / l}
	}
	cost, from := make([]float64, wide), make([][]int8, n)
	for k := range line {
		next := make([]float64, wide)
		from[k] = make([]int8, wide)
		for o := range wide {
			aside := float64(o - reach)
			best := math.Inf(1)
			for s := int8(-1); s <= 1; s++ {
				if b := o + int(s); b >= 0 && b < wide {
					if c := cost[b] + stepCost*math.Abs(float64(s)); c < best {
						best, from[k][o] = c, s
					}
				}
			}
			seen := float64(p.seenAt(line[k].X+aside*normal[k].X, line[k].Y+aside*normal[k].Y))
			next[o] = best + seen + asideCost*aside*aside/float64(reach*reach)
		}
		cost = next
	}
	o := 0
	for i, c := range cost {
		if c < cost[o] || c == cost[o] && absInt(i-reach) < absInt(o-reach) {
			o = i
		}
	}
	out := make([]Point, n)
	for k := n - 1; k >= 0; k-- {
		aside := float64(o - reach)
		out[k] = Point{line[k].X + aside*normal[k].X, line[k].Y + aside*normal[k].Y}
		o += int(from[k][o])
	}
	return smoothed(out)
}

func absInt(v int) int { return max(v, -v) }

// steps walks along a path in steps of one px.
func steps(path []Dab) []Point {
	out := []Point{path[0].Point}
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		n := int(math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y)))
		for k := 1; k <= n; k++ {
			t := float64(k) / float64(n)
			out = append(out, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
		}
	}
	return out
}

// smoothed averages five places along a line, fewer near its ends.
func smoothed(line []Point) []Point {
	out := make([]Point, len(line))
	for k := range line {
		r := min(2, k, len(line)-1-k)
		for _, q := range line[k-r : k+r+1] {
			out[k].X += q.X / float64(2*r+1)
			out[k].Y += q.Y / float64(2*r+1)
		}
	}
	return out
}

// trace is what the network saw of a joint at one place: how much of gap on the
// line, and beside it.
type trace struct{ on, beside float64 }

// A trace this much above its surroundings begins to say how wide the joint is,
// and from there on says it alone. hairline is what opens in any case, so that
// the tiles on either side are two: half its width, view px.
const (
	faintTrace = 0.06
	clearTrace = 0.16
	hairline   = 1.0
)

// joint opens a gap along a line of places one px apart.
func (p *painter) joint(line []Point) {
	path := make([]Dab, len(line))
	for k, q := range line {
		path[k] = Dab{q, 0}
	}
	win := p.around(path, p.gap)
	w := win.Dx()
	away, nearest := make([]float32, w*win.Dy()), make([]int32, w*win.Dy())
	for i := range away {
		away[i] = float32(p.gap)
	}
	for k := range path {
		each(p.around(path[k:k+1], p.gap), func(x, y int) {
			i := (y-win.Min.Y)*w + x - win.Min.X
			if d := float32(math.Hypot(float64(x)-path[k].X, float64(y)-path[k].Y)); d < away[i] {
				away[i], nearest[i] = d, int32(k)
			}
		})
	}
	seen := p.traces(line)
	was := p.copied(win)
	each(win, func(x, y int) {
		i := (y-win.Min.Y)*w + x - win.Min.X
		if d := float64(away[i]); d < p.gap {
			p.open(x, y, p.opening(d, 1-float64(was[i]), seen[nearest[i]]))
		}
	})
}

// opening is how much gap a pixel becomes, at distance d from the line, where the
// network saw u of gap.
func (p *painter) opening(d, u float64, t trace) float64 {
	plain := min(max(p.gap/2+.5-d, 0), 1)
	traced := min(max((u-t.beside)/max(t.on-t.beside, 1e-3), 0), 1) * (1 - ramp(d, .75*p.gap, p.gap))
	known := ramp(t.on-t.beside, faintTrace, clearTrace)
	return max(known*traced+(1-known)*plain, min(hairline+.5-d, 1))
}

// traces reads what was seen along a line: the most within a px of it, and the
// least at about a gap's distance on both sides; the middle one of seven places, so
// that a blotch makes no notch.
func (p *painter) traces(line []Point) []trace {
	raw := p.rawTraces(line)
	out := make([]trace, len(line))
	for k := range raw {
		r := min(3, k, len(raw)-1-k)
		var on, beside []float64
		for _, t := range raw[k-r : k+r+1] {
			on, beside = append(on, t.on), append(beside, t.beside)
		}
		out[k] = trace{colormath.Median(on), colormath.Median(beside)}
	}
	return out
}

func (p *painter) rawTraces(line []Point) []trace {
	out := make([]trace, len(line))
	for k, q := range line {
		a, b := line[max(k-3, 0)], line[min(k+3, len(line)-1)]
		l := max(math.Hypot(b.X-a.X, b.Y-a.Y), 1e-9)
		u := func(aside float64) float64 {
			return 1 - float64(p.seenAt(q.X-aside*(b.Y-a.Y)/l, q.Y+aside*(b.X-a.X)/l))
		}
		out[k] = trace{on: max(u(-1), u(0), u(1)), beside: 1}
		for _, aside := range [4]float64{-1.25, -.75, .75, 1.25} {
			out[k].beside = min(out[k].beside, u(aside*p.gap))
		}
	}
	return out
}

// seenAt is the least tile coverage that the network or what came after it gives a
// place: the colours round about may have talked a faint joint away, and a person
// who paints along it says that it is one.
func (p *painter) seenAt(x, y float64) float32 {
	t := p.tile.at(x, y)
	if p.own != nil {
		t = min(t, p.own.at(x, y))
	}
	return t
}

// copied is what seenAt gives for the pixels of a window, row by row.
func (p *painter) copied(win image.Rectangle) (out []float32) {
	for y := win.Min.Y; y < win.Max.Y; y++ {
		for i := y*p.w + win.Min.X; i < y*p.w+win.Max.X; i++ {
			t := p.tile.v[i]
			if p.own != nil {
				t = min(t, p.own.v[i])
			}
			out = append(out, t)
		}
	}
	return out
}
