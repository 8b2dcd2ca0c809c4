package grout

import (
	"math"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// Cured grout lies a little below the faces: struck by a sponge, about 0.8 mm
// (common practice, no source). Where the panel's size is not known, this share
// of the middle gap width stands in: 0.8 mm of a 2 mm joint.
const (
	RecessMm    = 0.8
	recessShare = 0.4
)

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
	glow   [3][]float32 // what the walls send on, linear light
}

// skyLoss is how much of the light from all round the walls beside a place keep
// off, over what they hide of the sky: most of it they send on. Ours.
var skyLoss float32 = 0.04

var edgeLeft = .72
var Pm = map[string]float64{}

// newRecess measures the dimming for a recess of depth px under a lamp.
func newRecess(m *segment.Map, depth float64, lamp light.Lamp, pic *colormath.Picture, threads int) *recess {
	r := &recess{step: max(1, math.Floor(depth/3))}
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
	sky := r.blurred(open, depth/r.step, threads)
	k := float32(.2)
	if v, ok := Pm["k"]; ok {
		k = float32(v)
	}
	for c := range r.glow {
		wall := make([]float32, r.w*r.h)
		colormath.Rows(r.h, threads, func(y0, y1 int) {
			for y := y0; y < y1; y++ {
				for x := range r.w {
					if open[y*r.w+x] < 1 {
						wall[y*r.w+x] = k * (1 - open[y*r.w+x]) * r.tileMean(m, pic, x*n, y*n, n, c)
					}
				}
			}
		})
		r.glow[c] = r.blurred(wall, depth/r.step, threads)
	}
	reach := 0.
	if lamp.Share > 0 {
		reach = lamp.Reach * edgeLeft * depth / lamp.Height / r.step
	}
	r.factor = make([]float32, r.w*r.h)
	colormath.Rows(r.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range r.w {
				i := y*r.w + x
				lit := 1.0
				if reach > 0 && open[i] > 0 {
					lit = lamp.Lit(r.away(open, float64(x), float64(y), lamp.X, lamp.Y, 2.5*reach), reach)
				}
				r.factor[i] = float32(lamp.Share*lit) + float32(1-lamp.Share)*(1-skyLoss*(1-sky[i]))
			}
		}
	})
	return r
}

func (r *recess) tileMean(m *segment.Map, pic *colormath.Picture, x0, y0, n, c int) float32 {
	x1, y1 := min(x0+n, m.W), min(y0+n, m.H)
	var sum, k float32
	for y := y0; y < y1; y++ {
		for i := y*m.W + x0; i < y*m.W+x1; i++ {
			if m.Label[i] > 0 {
				sum += pic.Pix[3*i+c]
				k++
			}
		}
	}
	return sum / max(k, 1)
}

// away is the distance from a place to the next wall in a direction, grid px, at
// most far.
func (r *recess) away(open []float32, x, y, dx, dy, far float64) float64 {
	const step = 0.5
	last := r.between(open, x, y)
	for d := step; d < far; d += step {
		v := r.between(open, x+d*dx, y+d*dy)
		if v <= .5 && last > .5 {
			return d - step*float64((.5-v)/(last-v))
		}
		last = v
	}
	return far
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
func (r *recess) glowRow(c, y, x0 int, out []float32) {
	gy := (float64(y)+.5)/r.step - .5
	for i := range out {
		out[i] = r.between(r.glow[c], (float64(x0+i)+.5)/r.step-.5, gy)
	}
}

func (r *recess) row(y, x0 int, out []float32) {
	gy := (float64(y)+.5)/r.step - .5
	for i := range out {
		out[i] = r.between(r.factor, (float64(x0+i)+.5)/r.step-.5, gy)
	}
}
