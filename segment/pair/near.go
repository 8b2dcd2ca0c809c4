package pair

import (
	"cmp"
	"math"
	"slices"

	"gapshade/colormath"
)

// How far the second photo may lie from the first, beyond a quarter turn that the
// phone got wrong: shift as a share of the longer side, turn in degrees, scale. A
// tripod that was touched needs a tenth of it; a steady hand most of it. Further
// off, the perspective differs so much that side walls no longer agree.
const (
	mostShift = 0.045
	mostTurn  = 3.5
	mostScale = 0.045
)

// searchSide is the longer side of the planes that are searched, px: a joint is
// lost there, the pattern of joints is not. turnStep and scaleStep move the corners
// by about a pixel of it.
const (
	searchSide = 128
	turnStep   = 0.7
	scaleStep  = 0.015
)

// tried is how many of the best rough places are looked at more closely: joints lie
// at even distances, and the place one joint further may look as good at first.
const tried = 6

// Near looks for the second photo's place by the edges of both: brightness (linear)
// in the same w × h frame, b where it would lie if the camera hadn't moved. It gives
// the map that moves b onto a, good to about a pixel in a thousand, and how well
// the edges then agree, −1…1.
func Near(a, b *Plane, threads int) (colormath.Homography, float64) {
	ea, eb := encoded(a).Soft(threads).edges(threads), encoded(b).Soft(threads).edges(threads)
	n := max(1, int(math.Ceil(float64(max(a.W, a.H))/searchSide)))
	places := search(ea.reduced(n).even(threads), eb.reduced(n).even(threads), threads)
	m := max(1, n/2)
	sa, sb := ea.reduced(m).even(threads).Soft(threads), eb.reduced(m).even(threads).Soft(threads)
	best, score := still, math.Inf(-1)
	for _, h := range places {
		h = enlarged(h, float64(n)/float64(m))
		h = climb(sa, sb.Moved(h, threads), nil, 4, threads).After(h)
		if s := agreement(sa, sb.Moved(h, threads)); s > score {
			best, score = h, s
		}
	}
	return enlarged(best, float64(m)), score
}

// Follow moves b onto a by the edges of both, which lie two px apart at most.
func Follow(a, b *Plane, threads int) colormath.Homography {
	sharp := func(p *Plane) *Plane {
		return p.Soft(threads).edges(threads).even(threads).Soft(threads)
	}
	return climb(sharp(a), sharp(b), nil, 1, threads)
}

// Align moves b onto a by the coverage of tiles in both, which lies four px apart at most.
// Flat faces tell nothing else: bevels, lit on one side of every tile and in shadow on the
// other, draw the edges on white and on black paper apart by several px in all.
func Align(a, b *Plane, threads int) colormath.Homography {
	return climb(a.Soft(threads), b.Soft(threads), nil, 4, threads)
}

// encoded is a square root, which makes noise and steps about as large in shadow as
// in light.
func encoded(p *Plane) *Plane {
	out := NewPlane(p.W, p.H)
	for i, v := range p.V {
		out.V[i] = float32(math.Sqrt(max(0, float64(v))))
	}
	return out
}

// enlarged is the same map for planes n times as large.
func enlarged(h colormath.Homography, n float64) colormath.Homography {
	up := colormath.Homography{n, 0, (n - 1) / 2, 0, n, (n - 1) / 2, 0, 0, 1}
	down, _ := up.Inverse()
	return up.After(h).After(down)
}

// search tries every turn, scale and shift and gives the best shifts of the best
// turns, best first.
func search(a, b *Plane, threads int) []colormath.Homography {
	type try struct {
		h     colormath.Homography
		score float64
	}
	turns, scales := int(mostTurn/turnStep), int(mostScale/scaleStep)
	tries := make([]try, (2*turns+1)*(2*scales+1))
	reach := int(math.Ceil(mostShift * float64(max(a.W, a.H))))
	colormath.Rows(len(tries), threads, func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			angle := float64(k%(2*turns+1)-turns) * turnStep * math.Pi / 180
			scale := 1 + float64(k/(2*turns+1)-scales)*scaleStep
			turn := turned(a.W, a.H, angle, scale)
			dx, dy, score := slide(a, b.Moved(turn, 1), reach)
			tries[k] = try{colormath.Homography{1, 0, dx, 0, 1, dy, 0, 0, 1}.After(turn), score}
		}
	})
	slices.SortStableFunc(tries, func(p, q try) int { return cmp.Compare(q.score, p.score) })
	var out []colormath.Homography
	for _, t := range tries[:tried] {
		out = append(out, t.h)
	}
	return out
}

// turned is a turn (radians, clockwise on screen) and a scale about the middle.
func turned(w, h int, angle, scale float64) colormath.Homography {
	c, s := scale*math.Cos(angle), scale*math.Sin(angle)
	x, y := float64(w-1)/2, float64(h-1)/2
	return colormath.Homography{c, -s, x - c*x + s*y, s, c, y - s*x - c*y, 0, 0, 1}
}

// slide shifts b over a by whole pixels and gives the best shift with its agreement.
func slide(a, b *Plane, reach int) (dx, dy, best float64) {
	best = -2
	for y := -reach; y <= reach; y++ {
		for x := -reach; x <= reach; x++ {
			if s := overlap(a, b, x, y, reach); s > best {
				best, dx, dy = s, float64(x), float64(y)
			}
		}
	}
	return dx, dy, best
}

// overlap is the correlation of a with b shifted by (dx, dy), over the part of a
// that b covers at any shift.
func overlap(a, b *Plane, dx, dy, reach int) float64 {
	var n, sa, sb, saa, sbb, sab float64
	for y := reach; y < a.H-reach; y++ {
		ra, rb := a.V[y*a.W:(y+1)*a.W], b.V[(y-dy)*b.W:(y-dy+1)*b.W]
		for x := reach; x < a.W-reach; x++ {
			p, q := float64(ra[x]), float64(rb[x-dx])
			sa, sb, saa, sbb, sab = sa+p, sb+q, saa+p*p, sbb+q*q, sab+p*q
		}
		n += float64(max(0, a.W-2*reach))
	}
	va, vb := saa-sa*sa/n, sbb-sb*sb/n
	if !(va > 0 && vb > 0) {
		return -1
	}
	return (sab - sa*sb/n) / math.Sqrt(va*vb)
}

// agreement is the correlation over all.
func agreement(a, b *Plane) float64 { return overlap(a, b, 0, 0, 0) }
