package colormath

import (
	"errors"
	"math"
)

// Homography maps the plane of one picture to another's: row-major 3 × 3,
// (x, y) → ((h0·x + h1·y + h2)/w, (h3·x + h4·y + h5)/w), w = h6·x + h7·y + h8.
// A flat panel seen by a camera in any position is one such map away from the
// panel seen from straight above.
type Homography [9]float64

// errNoMap says that no homography fits.
var errNoMap = errors.New("the four points lie on one line or cross over")

// HomographyOf is the map that takes the four points from[i] to to[i], px. It
// fails when three of the points lie on a line.
func HomographyOf(from, to [4][2]float64) (Homography, error) {
	a, okA := fromUnitSquare(from)
	b, okB := fromUnitSquare(to)
	if !okA || !okB {
		return Homography{}, errNoMap
	}
	inv, ok := a.Inverse()
	if !ok {
		return Homography{}, errNoMap
	}
	return b.After(inv).scaled(), nil
}

// fromUnitSquare takes (0,0), (1,0), (1,1), (0,1) to the four points, in closed
// form: Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989,
// section 2.2.3. No 8 × 8 system has to be solved, and nothing is lost to
// pivoting.
func fromUnitSquare(p [4][2]float64) (Homography, bool) {
	dx1, dy1 := p[1][0]-p[2][0], p[1][1]-p[2][1]
	dx2, dy2 := p[3][0]-p[2][0], p[3][1]-p[2][1]
	sx, sy := p[0][0]-p[1][0]+p[2][0]-p[3][0], p[0][1]-p[1][1]+p[2][1]-p[3][1]
	det := dx1*dy2 - dx2*dy1
	if !(math.Abs(det) > 1e-12) {
		return Homography{}, false
	}
	g, h := (sx*dy2-dx2*sy)/det, (dx1*sy-sx*dy1)/det
	return Homography{
		p[1][0] - p[0][0] + g*p[1][0], p[3][0] - p[0][0] + h*p[3][0], p[0][0],
		p[1][1] - p[0][1] + g*p[1][1], p[3][1] - p[0][1] + h*p[3][1], p[0][1],
		g, h, 1,
	}, true
}

// Apply maps one place.
func (h Homography) Apply(x, y float64) (float64, float64) {
	w := h[6]*x + h[7]*y + h[8]
	return (h[0]*x + h[1]*y + h[2]) / w, (h[3]*x + h[4]*y + h[5]) / w
}

// Inverse is the map back; ok is false when there is none.
func (h Homography) Inverse() (inv Homography, ok bool) {
	c := Homography{ // the adjugate
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	det := h[0]*c[0] + h[1]*c[3] + h[2]*c[6]
	if !(math.Abs(det) > 1e-300) {
		return Homography{}, false
	}
	for i := range c {
		c[i] /= det
	}
	return c, true
}

// After is the map that does g first and then h.
func (h Homography) After(g Homography) (out Homography) {
	for r := range 3 {
		for c := range 3 {
			out[3*r+c] = h[3*r]*g[c] + h[3*r+1]*g[3+c] + h[3*r+2]*g[6+c]
		}
	}
	return out
}

// scaled makes the last number 1, the usual way of writing a homography.
func (h Homography) scaled() Homography {
	for i := range h {
		h[i] /= h[8]
	}
	return h
}

// stretch is how many px of the target one px covers at a place, along the axis
// that is stretched most (the larger singular value of the local derivative).
func (h Homography) stretch(x, y float64) float64 {
	w := h[6]*x + h[7]*y + h[8]
	u, v := h.Apply(x, y)
	a, b := (h[0]-u*h[6])/w, (h[1]-u*h[7])/w
	c, d := (h[3]-v*h[6])/w, (h[4]-v*h[7])/w
	s, det := a*a+b*b+c*c+d*d, a*d-b*c
	return math.Sqrt((s + math.Sqrt(max(0, s*s-4*det*det))) / 2)
}
