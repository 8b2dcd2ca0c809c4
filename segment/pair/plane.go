package pair

import (
	"math"

	"gapshade/colormath"
)

// Plane is one number per pixel, row by row; pixel centres stand at whole
// numbers.
type Plane struct {
	W, H int
	V    []float32 // W·H long
}

// NewPlane is a plane of zeros.
func NewPlane(w, h int) *Plane { return &Plane{w, h, make([]float32, w*h)} }

// at reads between pixel centres, bilinear, the border repeated.
func (p *Plane) at(x, y float64) float32 {
	x, y = min(max(x, 0), float64(p.W-1)), min(max(y, 0), float64(p.H-1))
	i, j := min(int(x), max(p.W-2, 0)), min(int(y), max(p.H-2, 0))
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	k, right, down := j*p.W+i, min(1, p.W-1), p.W*min(1, p.H-1)
	top := p.V[k] + (p.V[k+right]-p.V[k])*fx
	low := p.V[k+down] + (p.V[k+down+right]-p.V[k+down])*fx
	return top + (low-top)*fy
}

// Moved is the plane as seen after h, which takes its pixels to their new places:
// bilinear, the border repeated, as large as before. A map without an inverse
// leaves it as it is.
func (p *Plane) Moved(h colormath.Homography, threads int) *Plane {
	return p.within(h, p.W, p.H, threads)
}

func (p *Plane) within(h colormath.Homography, w, hgt, threads int) *Plane {
	back, ok := h.Inverse()
	if !ok {
		return p
	}
	out := NewPlane(w, hgt)
	colormath.Rows(hgt, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range w {
				out.V[y*w+x] = p.at(back.Apply(float64(x), float64(y)))
			}
		}
	})
	return out
}

// Soft is the plane blurred by the binomial 1 2 1 along rows and columns, about a
// Gaussian of 0.7 px; the border repeated.
func (p *Plane) Soft(threads int) *Plane {
	half, out := NewPlane(p.W, p.H), NewPlane(p.W, p.H)
	colormath.Rows(p.H, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row, to := p.V[y*p.W:(y+1)*p.W], half.V[y*p.W:(y+1)*p.W]
			for x := range to {
				to[x] = (row[max(x-1, 0)] + 2*row[x] + row[min(x+1, p.W-1)]) / 4
			}
		}
	})
	colormath.Rows(p.H, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			up, low := half.V[max(y-1, 0)*p.W:], half.V[min(y+1, p.H-1)*p.W:]
			for x := range p.W {
				out.V[y*p.W+x] = (up[x] + 2*half.V[y*p.W+x] + low[x]) / 4
			}
		}
	})
	return out
}

// reduced gives means of n × n squares; a rest at the right and lower edge is
// left out.
func (p *Plane) reduced(n int) *Plane {
	if n <= 1 {
		return p
	}
	out := NewPlane(max(1, p.W/n), max(1, p.H/n))
	for y := range out.H {
		for x := range out.W {
			var sum float64
			for j := y * n; j < min((y+1)*n, p.H); j++ {
				for i := x * n; i < min((x+1)*n, p.W); i++ {
					sum += float64(p.V[j*p.W+i])
				}
			}
			out.V[y*out.W+x] = float32(sum / float64(n*n))
		}
	}
	return out
}

// edges is how steep the plane is: the length of the gradient, a square root taken
// off so that strong edges don't drown the weak ones.
func (p *Plane) edges(threads int) *Plane {
	out := NewPlane(p.W, p.H)
	colormath.Rows(p.H, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range p.W {
				dx, dy := p.slope(x, y)
				out.V[y*p.W+x] = float32(math.Sqrt(math.Hypot(float64(dx), float64(dy))))
			}
		}
	})
	return out
}

// slope is the gradient by central differences, the border repeated.
func (p *Plane) slope(x, y int) (dx, dy float32) {
	row := p.V[y*p.W : (y+1)*p.W]
	up, low := p.V[max(y-1, 0)*p.W:], p.V[min(y+1, p.H-1)*p.W:]
	return (row[min(x+1, p.W-1)] - row[max(x-1, 0)]) / 2, (low[x] - up[x]) / 2
}

// even is the plane over its own mean round about: light tiles on dark paper have
// strong edges and dark ones weak, on light paper it is the other way round, and both
// are to count alike.
func (p *Plane) even(threads int) *Plane {
	mean := p
	for range 16 { // about a Gaussian of three px
		mean = mean.Soft(threads)
	}
	var level float64
	for _, v := range mean.V {
		level += float64(v) / float64(len(mean.V))
	}
	out := NewPlane(p.W, p.H)
	for i, v := range p.V {
		out.V[i] = v / max(mean.V[i]+float32(level)/4, 1e-9)
	}
	return out
}
