package segment

import (
	"math"

	"gapshade/colormath"
)

// window is a rectangle of the full picture, px.
type window struct{ x0, y0, w, h int }

// window returns the part of the picture worth analysing: the panel and a
// margin in which the network sees that the panel ends.
func (o Options) window(pic *colormath.Picture) window {
	if o.Panel == nil {
		return window{0, 0, pic.W, pic.H}
	}
	const margin = 0.04 // of the panel's larger side; the paper round the panel shows the light
	lo, hi := o.Panel.bounds()
	m := margin * max(hi.X-lo.X, hi.Y-lo.Y)
	x0, y0 := clampInt(int(lo.X-m), 0, pic.W-1), clampInt(int(lo.Y-m), 0, pic.H-1)
	x1, y1 := clampInt(int(hi.X+m)+1, x0+1, pic.W), clampInt(int(hi.Y+m)+1, y0+1, pic.H)
	return window{x0, y0, x1 - x0, y1 - y0}
}

// view is a window of the picture at a reduced (or enlarged) scale, linear
// light, interleaved R, G, B.
type view struct {
	win   window
	scale float64 // view px per picture px
	w, h  int
	lin   []float32
}

// toView and toFull map pixel centres between the view and the full picture.
func (v *view) toView(x, y float64) (float64, float64) {
	return (x-float64(v.win.x0)+.5)*float64(v.w)/float64(v.win.w) - .5,
		(y-float64(v.win.y0)+.5)*float64(v.h)/float64(v.win.h) - .5
}

func (v *view) toFull(x, y float64) (float64, float64) {
	return (x+.5)*float64(v.win.w)/float64(v.w) - .5 + float64(v.win.x0),
		(y+.5)*float64(v.win.h)/float64(v.h) - .5 + float64(v.win.y0)
}

// pointsInView and pointsInPicture do the same with many.
func (v *view) pointsInView(pts []Point) []Point    { return taken(pts, v.toView) }
func (v *view) pointsInPicture(pts []Point) []Point { return taken(pts, v.toFull) }

func taken(pts []Point, to func(x, y float64) (float64, float64)) []Point {
	out := make([]Point, len(pts))
	for i, p := range pts {
		out[i].X, out[i].Y = to(p.X, p.Y)
	}
	return out
}

// newView resamples a window in linear light: area averages when reducing (no
// moiré from fine joints), bilinear when enlarging.
func newView(pic *colormath.Picture, win window, scale float64, threads int) *view {
	v := &view{win: win, scale: scale,
		w: max(1, int(math.Round(float64(win.w)*scale))),
		h: max(1, int(math.Round(float64(win.h)*scale)))}
	v.lin = make([]float32, 3*v.w*v.h)
	cols, rows := newTaps(win.w, v.w), newTaps(win.h, v.h)
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			out := v.lin[3*y*v.w : 3*(y+1)*v.w]
			for j, wy := range rows.weight[y] {
				at := 3 * ((win.y0+rows.start[y]+j)*pic.W + win.x0)
				cols.addRow(out, pic.Pix[at:at+3*win.w], wy)
			}
		}
	})
	return v
}

// taps says which input samples make each output sample, and how much of each.
type taps struct {
	start  []int
	weight [][]float32
}

// newTaps builds the filter from n samples to m: a box as wide as an output
// sample when reducing, a triangle between neighbours when enlarging.
func newTaps(n, m int) taps {
	t := taps{start: make([]int, m), weight: make([][]float32, m)}
	step := float64(n) / float64(m)
	for i := range m {
		lo, hi := float64(i)*step, float64(i+1)*step
		if step < 1 {
			c := (float64(i)+.5)*step - .5
			k := clampInt(int(math.Floor(c)), 0, n-1)
			f := min(max(c-float64(k), 0), 1)
			t.start[i], t.weight[i] = k, []float32{float32(1 - f), float32(f)}
			if k == n-1 {
				t.weight[i] = []float32{1}
			}
			continue
		}
		k := int(lo)
		t.start[i] = k
		for ; float64(k) < hi-1e-9 && k < n; k++ {
			part := min(hi, float64(k+1)) - max(lo, float64(k))
			t.weight[i] = append(t.weight[i], float32(part/step))
		}
	}
	return t
}

// addRow adds one input row, filtered along x and times wy, to an output row.
func (t taps) addRow(out, in []float32, wy float32) {
	for x, ws := range t.weight {
		var r, g, b float32
		s := in[3*t.start[x]:]
		for _, w := range ws {
			r, g, b = r+w*s[0], g+w*s[1], b+w*s[2]
			s = s[3:]
		}
		o := out[3*x : 3*x+3 : 3*x+3]
		o[0], o[1], o[2] = o[0]+wy*r, o[1]+wy*g, o[2]+wy*b
	}
}

// encoded gives the view as the network wants it: planes first, sRGB-encoded,
// clipped to 0…1.
func (v *view) encoded(threads int) []float32 {
	n := v.w * v.h
	out := make([]float32, 3*n)
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for i := y0 * v.w; i < y1*v.w; i++ {
			for c := range 3 {
				out[c*n+i] = encode(v.lin[3*i+c])
			}
		}
	})
	return out
}

// encode is the sRGB curve; eight bits are what the network was trained on.
func encode(l float32) float32 { return float32(colormath.Encode8(l)) / 255 }

func clampInt(v, lo, hi int) int { return min(max(v, lo), hi) }
