package photo

import (
	"errors"
	"math"

	"gapshade/colormath"
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
	return b.times(inv).scaled(), nil
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

// times is h after g.
func (h Homography) times(g Homography) (out Homography) {
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

// Warp resamples pic once, in linear light, into a picture of w × h px in which
// the place toFrame(x, y) shows what pic shows at (x, y). Places beyond pic's
// edge repeat its edge pixels: a margin of bed goes on as bed.
//
// Where the picture grows or keeps its size, values between pixels come from
// the cubic of Catmull and Rom, held between the four nearest pixels so that no
// halo is drawn beside an edge; where it shrinks, every pixel is the mean of a
// grid of such values, fine enough that each source pixel counts.
func Warp(pic *colormath.Picture, toFrame Homography, w, h, threads int) (*colormath.Picture, error) {
	back, ok := toFrame.Inverse()
	if !ok {
		return nil, errNoMap
	}
	out := colormath.NewPicture(w, h)
	colormath.Rows(h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			// Along a row the stretch only grows or only falls.
			n := fineness(max(back.stretch(0, float64(y)), back.stretch(float64(w-1), float64(y))))
			for x := range w {
				warpPixel(out.Pix[3*(y*w+x):][:3], pic, &back, float64(x), float64(y), n)
			}
		}
	})
	return out, nil
}

// finest bounds the grid per pixel; a panel reduced by more than this has other
// troubles.
const finest = 8

// fineness is how many places a side are read for a pixel that covers so many.
func fineness(stretch float64) int {
	// A hair over 1 is a rounding, not a reduction.
	if !(stretch > 1.001) {
		return 1
	}
	return int(min(math.Ceil(stretch), finest))
}

// warpPixel fills one pixel from the places that it covers, n × n of them.
func warpPixel(to []float32, pic *colormath.Picture, back *Homography, x, y float64, n int) {
	if n == 1 {
		u, v := back.Apply(x, y)
		c := between(pic, u, v)
		copy(to, c[:])
		return
	}
	var sum [3]float32
	for j := range n {
		for i := range n {
			u, v := back.Apply(x+(float64(i)+.5)/float64(n)-.5, y+(float64(j)+.5)/float64(n)-.5)
			c := between(pic, u, v)
			sum[0], sum[1], sum[2] = sum[0]+c[0], sum[1]+c[1], sum[2]+c[2]
		}
	}
	k := 1 / float32(n*n)
	to[0], to[1], to[2] = sum[0]*k, sum[1]*k, sum[2]*k
}

// between reads a picture between its pixels.
func between(pic *colormath.Picture, x, y float64) (out [3]float32) {
	// A place at infinity is an edge pixel too.
	x, y = min(max(x, 0), float64(pic.W-1)), min(max(y, 0), float64(pic.H-1))
	ix, iy := int(x), int(y)
	kx, ky := cubic(float32(x-float64(ix))), cubic(float32(y-float64(iy)))
	var edge [12]float32
	var c, lo, hi [3]float32
	for j := range 4 {
		row := pic.Pix[3*pic.W*min(max(iy+j-1, 0), pic.H-1):][:3*pic.W]
		p := &edge
		if ix > 0 && ix+2 < pic.W {
			p = (*[12]float32)(row[3*(ix-1):])
		} else {
			for i := range 4 {
				copy(edge[3*i:3*i+3], row[3*min(max(ix+i-1, 0), pic.W-1):])
			}
		}
		for k := range 3 {
			// Not fused: the same on every processor.
			v := float32(float32(kx[0]*p[k])+float32(kx[1]*p[3+k])) + float32(float32(kx[2]*p[6+k])+float32(kx[3]*p[9+k]))
			c[k] += float32(ky[j] * v)
		}
		switch j {
		case 1:
			for k := range 3 {
				lo[k], hi[k] = min(p[3+k], p[6+k]), max(p[3+k], p[6+k])
			}
		case 2:
			for k := range 3 {
				lo[k], hi[k] = min(lo[k], p[3+k], p[6+k]), max(hi[k], p[3+k], p[6+k])
			}
		}
	}
	for k := range c {
		out[k] = min(max(c[k], lo[k]), hi[k])
	}
	return out
}

// cubic gives the weights of the pixels at −1, 0, 1, 2 for a place t between 0
// and 1 (Catmull, Rom, 1974; the cubic convolution of Keys, 1981, with a = −1/2).
func cubic(t float32) [4]float32 {
	t2 := float32(t * t)
	t3 := float32(t2 * t)
	return [4]float32{
		(float32(2*t2) - t3 - t) / 2,
		(float32(3*t3) - float32(5*t2) + 2) / 2,
		(float32(4*t2) - float32(3*t3) + t) / 2,
		(t3 - t2) / 2,
	}
}
