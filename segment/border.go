package segment

import (
	"cmp"
	"image"
	"math"
	"slices"

	"gapshade/colormath"
)

// faces is which tiles face each other across a gap, place by place. The pairing
// is done in view px (a gap is a handful of px wide there); the widths are measured
// on the full-resolution coverage. It is kept so that a stroke need measure only
// the places near it.
type faces struct {
	label   []int32   // tile number of every view pixel, 0 for gap
	dist    []float32 // distance to the nearest tile, view px
	nearest []int32   // the tile pixel there, −1 without any
	meet    []meeting // in reading order
}

// meeting is one place on the line halfway between two tiles.
type meeting struct {
	at       int32   // twice the view pixel's index, one more when it is the pixel below that is nearer to the other tile
	from, to int32   // the nearest tile pixels of either side
	width    float64 // of the gap between them, picture px
}

// renumber gives the view's tiles their new numbers.
func (f *faces) renumber(number []uint16) {
	for i, l := range f.label {
		if l > 0 {
			f.label[i] = int32(number[l])
		}
	}
}

// border measures the gaps between tiles anew where something in a window of the
// picture has changed.
func (a *Analysis) border(win image.Rectangle) {
	ev, f := a.ev, &a.faces
	seen := a.sampled(win)
	if f.dist == nil {
		f.dist, f.nearest = distances(ev.w, ev.h, func(i int) bool { return f.label[i] > 0 })
	} else {
		seen = f.affected(ev.view, seen, a.threads)
		f.measure(ev.view, seen)
	}
	// one more, for pairs of which only the second pixel has changed
	seen = image.Rect(seen.Min.X-1, seen.Min.Y-1, seen.Max.X, seen.Max.Y).Intersect(image.Rect(0, 0, ev.w, ev.h))
	keep := slices.DeleteFunc(f.meet, func(m meeting) bool {
		return image.Pt(int(m.at)/2%ev.w, int(m.at)/2/ev.w).In(seen)
	})
	f.meet = inOrder(keep, a.meetings(seen))
	a.m.collect(f, 1/ev.scale)
	a.sureness(seen)
}

// inOrder puts two lists in reading order together.
func inOrder(a, b []meeting) []meeting {
	out := make([]meeting, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if a[0].at < b[0].at {
			out, a = append(out, a[0]), a[1:]
		} else {
			out, b = append(out, b[0]), b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// sampled reads the tile numbers of the view pixels that lie in a window of the
// picture, and returns those pixels' window.
func (a *Analysis) sampled(win image.Rectangle) image.Rectangle {
	ev, m := a.ev, a.m
	if a.faces.label == nil {
		a.faces.label = make([]int32, ev.w*ev.h)
	}
	seen := ev.viewOf(win)
	for y := seen.Min.Y; y < seen.Max.Y; y++ {
		for x := seen.Min.X; x < seen.Max.X; x++ {
			fx, fy := ev.toFull(float64(x), float64(y))
			i, j := int(math.Round(fx)), int(math.Round(fy))
			if i >= 0 && j >= 0 && i < m.W && j < m.H {
				a.faces.label[y*ev.w+x] = int32(m.Label[j*m.W+i])
			}
		}
	}
	return seen
}

// viewOf is the window of the view that holds all view pixels whose centres lie
// in a window of the picture, and one more all round.
func (v *view) viewOf(win image.Rectangle) image.Rectangle {
	x0, y0 := v.toView(float64(win.Min.X), float64(win.Min.Y))
	x1, y1 := v.toView(float64(win.Max.X), float64(win.Max.Y))
	r := image.Rect(int(math.Floor(x0))-1, int(math.Floor(y0))-1, int(math.Ceil(x1))+2, int(math.Ceil(y1))+2)
	return r.Intersect(image.Rect(0, 0, v.w, v.h))
}

// wayRound is how far the way between two nearest tile pixels may lead past the
// place where they were found, view px: a pixel and a half of tile at either end,
// and what is read between pixels.
const wayRound = 6

// affected grows a window by every place whose nearest tile, or the way to it,
// may lie in it.
func (f *faces) affected(v *view, win image.Rectangle, threads int) image.Rectangle {
	rows := make([]image.Rectangle, v.h)
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			dy := max(win.Min.Y-y, y-win.Max.Y+1, 0)
			first, last := v.w, -1
			for x, dist := range f.dist[y*v.w : (y+1)*v.w] {
				d := dist + wayRound
				if d < float32(dy) {
					continue
				}
				dx := max(win.Min.X-x, x-win.Max.X+1, 0)
				if float32(dx*dx+dy*dy) <= d*d {
					first, last = min(first, x), x
				}
			}
			if last >= 0 {
				rows[y] = image.Rect(first, y, last+1, y+1)
			}
		}
	})
	for _, r := range rows {
		win = win.Union(r)
	}
	return win
}

// measure finds the nearest tiles of a window's pixels anew. The distances are
// taken in a larger window, which is wide enough when none of them reaches beyond
// it; ties then fall as they would in the whole view.
func (f *faces) measure(v *view, win image.Rectangle) {
	all := image.Rect(0, 0, v.w, v.h)
	for margin := 16; ; margin *= 4 {
		r := win.Inset(-margin).Intersect(all)
		w := r.Dx()
		whole := func(i int) int { return (r.Min.Y+i/w)*v.w + r.Min.X + i%w }
		dist, nearest := distances(w, r.Dy(), func(i int) bool { return f.label[whole(i)] > 0 })
		far := float32(0)
		each(win, func(x, y int) { far = max(far, dist[(y-r.Min.Y)*w+x-r.Min.X]) })
		if far > float32(margin) && r != all {
			continue
		}
		each(win, func(x, y int) {
			i := (y-r.Min.Y)*w + x - r.Min.X
			f.dist[y*v.w+x] = dist[i]
			if f.nearest[y*v.w+x] = nearest[i]; nearest[i] >= 0 {
				f.nearest[y*v.w+x] = int32(whole(int(nearest[i])))
			}
		})
		return
	}
}

// each calls f for every pixel of a window.
func each(win image.Rectangle, f func(x, y int)) {
	for y := win.Min.Y; y < win.Max.Y; y++ {
		for x := win.Min.X; x < win.Max.X; x++ {
			f(x, y)
		}
	}
}

// meetings measures the gap wherever two neighbouring pixels of a window of the
// view are nearest to different tiles.
func (a *Analysis) meetings(win image.Rectangle) []meeting {
	ev, f := a.ev, &a.faces
	rows := make([][]meeting, win.Dy())
	colormath.Rows(win.Dy(), a.threads, func(y0, y1 int) {
		for k := y0; k < y1; k++ {
			for x := win.Min.X; x < win.Max.X; x++ {
				i := (win.Min.Y+k)*ev.w + x
				if x+1 < ev.w {
					rows[k] = a.meeting(rows[k], f, i, i+1, 2*i)
				}
				if win.Min.Y+k+1 < ev.h {
					rows[k] = a.meeting(rows[k], f, i, i+ev.w, 2*i+1)
				}
			}
		}
	})
	return slices.Concat(rows...)
}

// meeting adds the meeting of two neighbouring view pixels, if there is one.
func (a *Analysis) meeting(to []meeting, f *faces, i, j, at int) []meeting {
	p, q := f.nearest[i], f.nearest[j]
	if p < 0 || q < 0 || f.label[p] == f.label[q] || !a.ev.lay.panel[i] || !a.ev.lay.panel[j] || a.tookOut(i) || a.tookOut(j) {
		return to
	}
	return append(to, meeting{int32(at), p, q, a.m.widthBetween(a.ev, p, q)})
}

// collect turns the meetings into borders, in order of tile numbers. A pair that
// stands more than three middle gaps apart, or faces over less than the gap's
// width, looks past a corner or over a hole in the layout: no joint lies between
// them.
func (m *Map) collect(f *faces, step float64) {
	m.Borders, m.GapWidthPx = nil, colormath.Spread{}
	pairs := map[[2]int32][]float64{}
	all := make([]float64, 0, len(f.meet))
	for _, c := range f.meet {
		p, q := f.label[c.from], f.label[c.to]
		k := [2]int32{min(p, q), max(p, q)}
		pairs[k] = append(pairs[k], c.width)
		all = append(all, c.width)
	}
	if len(all) == 0 {
		return
	}
	for k, ws := range pairs {
		slices.Sort(ws)
		m.Borders = append(m.Borders, Border{A: int(k[0]), B: int(k[1]),
			Length: int(math.Round(float64(len(ws)) * step)), WidthPx: colormath.Quantile(ws, .5)})
	}
	far := 3 * colormath.QuantileIn(all, .5)
	m.Borders = slices.DeleteFunc(m.Borders, func(b Border) bool { return b.WidthPx > far || float64(b.Length) < b.WidthPx })
	slices.SortFunc(m.Borders, func(a, b Border) int {
		return cmp.Or(cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
	near := all[:0]
	for _, v := range all {
		if v <= far {
			near = append(near, v)
		}
	}
	m.GapWidthPx = colormath.SpreadOf(near)
}

// widthBetween adds up the gap coverage on the straight way between two tile
// pixels of the view, with a pixel and a half of tile at either end so that the
// soft edges count in full. Picture px.
func (m *Map) widthBetween(ev *evidence, from, to int32) float64 {
	x0, y0 := ev.toFull(float64(int(from)%ev.w), float64(int(from)/ev.w))
	x1, y1 := ev.toFull(float64(int(to)%ev.w), float64(int(to)/ev.w))
	d := math.Hypot(x1-x0, y1-y0)
	if d == 0 {
		return 0
	}
	ux, uy := (x1-x0)/d, (y1-y0)/d
	reach := 1.5 / ev.scale
	n := int(math.Ceil((d + 2*reach) * 2))
	step := (d + 2*reach) / float64(n)
	var sum float64
	for k := range n {
		t := (float64(k)+.5)*step - reach
		sum += m.gapAt(x0+t*ux, y0+t*uy)
	}
	return sum * step
}

// gapAt reads the coverage between pixel centres, 0…1.
func (m *Map) gapAt(x, y float64) float64 {
	x, y = min(max(x, 0), float64(m.W-1)), min(max(y, 0), float64(m.H-1))
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	i1, j1 := min(i+1, m.W-1), min(j+1, m.H-1)
	g := func(i, j int) float64 { return float64(m.Gap[j*m.W+i]) }
	return ((g(i, j)*(1-fx)+g(i1, j)*fx)*(1-fy) + (g(i, j1)*(1-fx)+g(i1, j1)*fx)*fy) / 255
}
