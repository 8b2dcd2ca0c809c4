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
const skyShare = 0.5

// recess is the share of the sky that each place of a joint sees, on a reduced
// grid.
//
// On the floor of a long groove of width w and depth h the diffuse light at a
// distance x from one wall is ½(x/√(x²+h²) + (w−x)/√((w−x)²+h²)) (view factor
// of an infinite groove; Hottel's crossed strings, 1954). The gap coverage under
// a Gaussian of σ = h agrees with that within 0.04 for w ≥ 2h, edge and middle,
// and needs no widths: it serves crossings, pebbles and open spaces alike.
type recess struct {
	w, h int
	step float64 // picture px per grid px
	sky  []float32
}

// newRecess measures the openness for a recess of depth px.
func newRecess(m *segment.Map, depth float64, threads int) *recess {
	r := &recess{step: max(1, math.Floor(depth/2))}
	n := int(r.step)
	r.w, r.h = (m.W+n-1)/n, (m.H+n-1)/n
	r.sky = make([]float32, r.w*r.h)
	colormath.Rows(r.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range r.w {
				r.sky[y*r.w+x] = cellMean(m, x*n, y*n, n)
			}
		}
	})
	r.blur(depth/r.step, threads)
	return r
}

// cellMean is the mean coverage of one grid cell.
func cellMean(m *segment.Map, x0, y0, n int) float32 {
	x1, y1 := min(x0+n, m.W), min(y0+n, m.H)
	sum := 0
	for y := y0; y < y1; y++ {
		for _, g := range m.Gap[y*m.W+x0 : y*m.W+x1] {
			sum += int(g)
		}
	}
	return float32(sum) / float32(255*(x1-x0)*(y1-y0))
}

// blur is a separable Gaussian; beyond the picture's edge it sees what is at
// the edge.
func (r *recess) blur(sigma float64, threads int) {
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
	tmp := make([]float32, len(r.sky))
	pass := func(out, in []float32, dx, dy int) {
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
	}
	pass(tmp, r.sky, 1, 0)
	pass(r.sky, tmp, 0, 1)
}

// row fills out with the factor on the light for pixels x0 … of row y.
func (r *recess) row(y, x0 int, out []float32) {
	gy := min(max((float64(y)+.5)/r.step-.5, 0), float64(r.h-1))
	j := int(gy)
	fy := float32(gy - float64(j))
	a, b := r.sky[j*r.w:(j+1)*r.w], r.sky[min(j+1, r.h-1)*r.w:]
	for i := range out {
		gx := min(max((float64(x0+i)+.5)/r.step-.5, 0), float64(r.w-1))
		k := int(gx)
		k1 := min(k+1, r.w-1)
		f := float32(gx - float64(k))
		top, low := a[k]+(a[k1]-a[k])*f, b[k]+(b[k1]-b[k])*f
		out[i] = 1 - skyShare*(1-(top+(low-top)*fy))
	}
}
