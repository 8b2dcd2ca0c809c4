package grout

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// Cured grout lies a little below the faces: struck by a sponge, about 0.8 mm
// (common practice, no source). Where the panel's size is not known, this share
// of the middle gap width stands in: 0.8 mm of a 2 mm joint.
const (
	RecessMm    = 0.8
	recessShare = 0.4
)

// skyShare is how much of the light on a joint comes from all round and is
// dimmed by the walls beside it; the rest comes from one side and reaches most
// of it. Ours: it fits drawn panels under a window, a lamp and a soft box.
const skyShare = 0.3

// recess dims the light on a joint that lies below the faces, on a reduced
// grid: the walls beside it hide part of the sky, and the wall on the lamp's
// side throws a shadow.
//
// Sky: on the floor of a long groove of width w and depth h the diffuse light at
// a distance x from one wall is ½(x/√(x²+h²) + (w−x)/√((w−x)²+h²)) (view factor
// of an infinite groove; Hottel's crossed strings, 1954). The gap coverage under
// a Gaussian of σ = h comes near that for w ≥ 2h, edge and middle, and needs no
// widths: it serves crossings, pebbles and open spaces alike.
//
// Lamp: the gap coverage under a narrower Gaussian, read a shadow's length
// nearer to the lamp: 0 where the tile there stands in the way.
type recess struct {
	w, h   int
	step   float64 // picture px per grid px
	factor []float32
}

// Shape of the lamp's shadow, in recess depths: its length (a lamp at 45°) and
// its softness; and how much of the light the lamp gives, per unit of
// segment.Lamp's strength, at most mostLamp. Ours, as skyShare.
const (
	shadowLength = 1.0
	shadowSoft   = 0.5
	lampShare    = 1.0
	mostLamp     = 0.4
)

// newRecess measures the dimming for a recess of depth px.
func newRecess(m *segment.Map, depth float64, threads int) *recess {
	r := &recess{step: max(1, math.Floor(depth/2))}
	n := int(r.step)
	r.w, r.h = (m.W+n-1)/n, (m.H+n-1)/n
	open := make([]float32, r.w*r.h)
	colormath.Rows(r.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range r.w {
				open[y*r.w+x] = cellMean(m, x*n, y*n, n)
			}
		}
	})
	sky, sun := r.blurred(open, depth/r.step, threads), r.blurred(open, shadowSoft*depth/r.step, threads)
	lamp := m.Lamp
	strength := lamp.Strength()
	share := float32(min(lampShare*strength, mostLamp))
	var dx, dy float64
	if strength > 0 {
		l := shadowLength * depth / r.step / strength
		dx, dy = l*lamp.X, l*lamp.Y
	}
	r.factor = make([]float32, r.w*r.h)
	colormath.Rows(r.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range r.w {
				lit := r.between(sun, float64(x)+dx, float64(y)+dy)
				r.factor[y*r.w+x] = 1 - skyShare*(1-sky[y*r.w+x]) - share*(1-lit)
			}
		}
	})
	return r
}

// cellMean is the mean openness of one grid cell: the gap's share, and all of
// what lies outside the panel, where no wall stands.
func cellMean(m *segment.Map, x0, y0, n int) float32 {
	x1, y1 := min(x0+n, m.W), min(y0+n, m.H)
	sum := 0
	for y := y0; y < y1; y++ {
		for i := y*m.W + x0; i < y*m.W+x1; i++ {
			g := m.Gap[i]
			if g == 0 && m.Label[i] == 0 {
				g = 255
			}
			sum += int(g)
		}
	}
	return float32(sum) / float32(255*(x1-x0)*(y1-y0))
}

// blurred is a separable Gaussian; beyond the picture's edge it sees what is at
// the edge.
func (r *recess) blurred(in []float32, sigma float64, threads int) []float32 {
	k := int(math.Ceil(3 * sigma))
	bell := make([]float32, 2*k+1)
	var total float32
	for i := range bell {
		d := float64(i-k) / sigma
		bell[i] = float32(math.Exp(-d * d / 2))
		total += bell[i]
	}
	for i := range bell {
		bell[i] /= total
	}
	pass := func(in []float32, dx, dy int) []float32 {
		out := make([]float32, len(in))
		colormath.Rows(r.h, threads, func(y0, y1 int) {
			for y := y0; y < y1; y++ {
				for x := range r.w {
					var s float32
					for i, b := range bell {
						xx := min(max(x+(i-k)*dx, 0), r.w-1)
						yy := min(max(y+(i-k)*dy, 0), r.h-1)
						s += b * in[yy*r.w+xx]
					}
					out[y*r.w+x] = s
				}
			}
		})
		return out
	}
	return pass(pass(in, 1, 0), 0, 1)
}

// between reads a grid between its centres, bilinear, the edge repeated.
func (r *recess) between(v []float32, x, y float64) float32 {
	x, y = min(max(x, 0), float64(r.w-1)), min(max(y, 0), float64(r.h-1))
	i, j := int(x), int(y)
	i1, j1 := min(i+1, r.w-1), min(j+1, r.h-1)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	top := v[j*r.w+i] + (v[j*r.w+i1]-v[j*r.w+i])*fx
	low := v[j1*r.w+i] + (v[j1*r.w+i1]-v[j1*r.w+i])*fx
	return top + (low-top)*fy
}

// row fills out with the factor on the light for pixels x0 … of row y.
func (r *recess) row(y, x0 int, out []float32) {
	gy := (float64(y)+.5)/r.step - .5
	for i := range out {
		out[i] = r.between(r.factor, (float64(x0+i)+.5)/r.step-.5, gy)
	}
}
