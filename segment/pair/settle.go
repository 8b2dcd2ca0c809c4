package pair

import "gapshade/colormath"

// Settle moves b onto a by the places that weight marks (1 or 0), which both show alike,
// b off by two px at most: by grain, pattern and shading. Where those tell nothing it
// says so, and b stays where it is.
func Settle(a, b, weight *Plane, threads int) (by colormath.Homography, ok bool) {
	a, b = a.inside(weight, threads), b.inside(weight, threads)
	if sharedGrain(a, b, weight) < leastGrain {
		return still, false
	}
	return climb(a, b, weight.deep(threads).thinned(), settlePx, threads), true
}

// leastGrain is how much of what faces show has to be in both photos for them to be
// laid by it: noise alone leads anywhere. Path-traced pairs and drawn glazes have .63
// to .97, flat faces with noise .00.
const leastGrain = 0.3

// sharedGrain is the correlation of the slopes of both planes inside the faces.
func sharedGrain(a, b, weight *Plane) float64 {
	var both, each float64
	for y := 1; y < a.H-1; y++ {
		for x := 1; x < a.W-1; x++ {
			i := y*a.W + x
			if weight.V[i-1] == 0 || weight.V[i+1] == 0 || weight.V[i-a.W] == 0 || weight.V[i+a.W] == 0 {
				continue
			}
			ax, ay := a.slope(x, y)
			bx, by := b.slope(x, y)
			both += float64(ax*bx + ay*by)
			each += float64(ax*ax+ay*ay+bx*bx+by*by) / 2
		}
	}
	return both / max(each, 1e-12)
}

// deep lets pixels count the less the more of what softened them lies beyond what weight
// marks: there slopes come out too flat, and a step as much too long.
func (p *Plane) deep(threads int) *Plane {
	part := p
	for range facePasses {
		part = part.Soft(threads)
	}
	out := NewPlane(p.W, p.H)
	for i, v := range part.V {
		out.V[i] = p.V[i] * v * v * v * v
	}
	return out
}

// thinned keeps every second pixel of every second row: softened planes tell no more
// in between.
func (p *Plane) thinned() *Plane {
	out := NewPlane(p.W, p.H)
	for y := 0; y < p.H; y += 2 {
		for x := 0; x < p.W; x += 2 {
			out.V[y*p.W+x] = p.V[y*p.W+x]
		}
	}
	return out
}

// settlePx is how far off the edges leave the photos, px: side walls in light and
// shadow draw them aside, differently on white and on black.
const settlePx = 0.5

// facePasses is how often faces are softened before they are compared, to about a
// Gaussian of two px: noise is fine and the clouds of a glaze are not. With less, b
// was drawn to places half a pixel off, where reading between pixels softens noise
// most.
const facePasses = 2

// inside is the plane softened by facePasses within what weight marks: nothing from
// beyond the faces gets in.
func (p *Plane) inside(weight *Plane, threads int) *Plane {
	sum, part := NewPlane(p.W, p.H), weight
	for i, v := range p.V {
		sum.V[i] = v * weight.V[i]
	}
	for range facePasses {
		sum, part = sum.Soft(threads), part.Soft(threads)
	}
	for i, w := range part.V {
		if w > 0 {
			sum.V[i] /= w
		}
	}
	return sum
}
