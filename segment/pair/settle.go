package pair

import "gapshade/colormath"

// Settle moves b onto a by the faces that weight marks (1 or 0), both nearly in
// place: the last tenths of a pixel, from grain and shading. Where those tell nothing,
// b stays where it is.
func Settle(a, b, weight *Plane, threads int) colormath.Homography {
	return climb(a.inside(weight, threads), b.inside(weight, threads), weight.thinned(), settlePx, threads)
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

// settlePx is how far off the tiles' edges leave the photos: side walls in light and
// shadow draw them aside, differently on white and on black (path-traced pairs: 0.04
// to 0.25 px).
const settlePx = 0.3

// facePasses is how often faces are softened before they are compared, to about a
// Gaussian of two px: noise is fine and the clouds of a glaze are not. With less, b
// was drawn to places half a pixel off, where reading between pixels softens noise
// most.
const facePasses = 3

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
