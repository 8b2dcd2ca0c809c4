package segment

import (
	"image"
	"math"
)

// A tile that glare or blur has taken away is seldom gone without a trace either:
// the network's answer is soft there, and next to nothing in the joints round it.
// So a blue stroke on it grows over the soft place, up to the joints.

// leastSoft is how much of tile the network must have seen under a stroke for it to
// grow, and apart how near it may come to other tiles, view px (ours).
const (
	leastSoft = 0.1
	apart     = 2.0
)

// grown finds the soft place that a stroke lies on: connected pixels in which the
// network saw more than half as much of tile as under the stroke. A place much
// larger than a tile is none.
func (p *painter) grown(own shape) []int32 {
	side := int(1.5*math.Sqrt(float64(p.middle))) + 4
	win := own.win.Inset(-side).Intersect(image.Rect(0, 0, p.w, p.h))
	soft := p.softness(win)
	at := func(x, y int) int { return (y-win.Min.Y)*win.Dx() + x - win.Min.X }
	sum, seeds := 0.0, []int32(nil)
	each(own.win, func(x, y int) {
		if i := y*p.w + x; own.at(x, y) < 0 && p.tile.v[i] <= .5 {
			sum += float64(soft[at(x, y)])
			seeds = append(seeds, int32(i))
		}
	})
	under := sum / max(1, float64(len(seeds)))
	if under < leastSoft {
		return nil
	}
	toOther, _ := distances(win.Dx(), win.Dy(), p.others(own, win))
	on := func(i int) bool {
		x, y := i%p.w, i/p.w
		if !image.Pt(x, y).In(win) || p.tile.v[i] > .5 {
			return false
		}
		k := at(x, y)
		return float64(toOther[k]) > apart && float64(soft[k]) > under/2
	}
	var out []int32
	seen := map[int32]bool{}
	for _, i := range seeds {
		if seen[i] || !on(int(i)) {
			continue
		}
		part, whole := p.flood(i, on, seen, 2*p.middle)
		if !whole {
			return nil
		}
		out = append(out, part...)
	}
	return p.rounded(out, own, win)
}

// rounded closes what is blotchy in a set of pixels and takes away what is narrower
// than a gap: the soft edges of other tiles, along which it has crept. What the
// stroke doesn't touch any more goes as well.
func (p *painter) rounded(set []int32, own shape, win image.Rectangle) (out []int32) {
	w := win.Dx()
	in := make([]bool, w*win.Dy())
	for _, i := range set {
		in[(int(i)/p.w-win.Min.Y)*w+int(i)%p.w-win.Min.X] = true
	}
	away := func(on func(k int) bool) []float32 {
		d, _ := distances(w, win.Dy(), on)
		return d
	}
	const blotch = 2
	near := away(func(k int) bool { return in[k] })
	deep := away(func(k int) bool { return near[k] > blotch })
	half := float32(p.gap / 2)
	edge := away(func(k int) bool { return deep[k] <= blotch }) // closed
	core := away(func(k int) bool { return edge[k] > half })
	runs, n := components(w, win.Dy(), func(k int) bool {
		return core[k] <= half && p.tile.v[(win.Min.Y+k/w)*p.w+win.Min.X+k%w] <= .5
	})
	touched := touching(own, win, runs, n)
	for _, r := range runs {
		for x := r.x0; touched[r.id] && x < r.x1; x++ {
			out = append(out, int32((win.Min.Y+r.y)*p.w+win.Min.X+x))
		}
	}
	return out
}

// touching says which parts of a window a stroke touches, by id.
func touching(own shape, win image.Rectangle, runs []run, n int) []bool {
	out := make([]bool, n+1)
	for _, r := range runs {
		for x := r.x0; x < r.x1 && !out[r.id]; x++ {
			out[r.id] = own.covers(win.Min.X+x, win.Min.Y+r.y)
		}
	}
	return out
}

// softness is the network's answer averaged over five by five px of a window, tiles
// left out: it is blotchy where it is in doubt.
func (p *painter) softness(win image.Rectangle) []float32 {
	out := make([]float32, win.Dx()*win.Dy())
	each(win, func(x, y int) {
		var sum, n float32
		for v := max(y-2, win.Min.Y); v <= min(y+2, win.Max.Y-1); v++ {
			for _, t := range p.tile.v[v*p.w+max(x-2, win.Min.X) : v*p.w+min(x+3, win.Max.X)] {
				if t <= .5 {
					sum, n = sum+t, n+1
				}
			}
		}
		out[(y-win.Min.Y)*win.Dx()+x-win.Min.X] = sum / max(n, 1)
	})
	return out
}

// others says which pixels of a window belong to tiles that the stroke doesn't
// touch.
func (p *painter) others(own shape, win image.Rectangle) func(k int) bool {
	w := win.Dx()
	index := func(k int) int { return (win.Min.Y+k/w)*p.w + win.Min.X + k%w }
	runs, n := components(w, win.Dy(), func(k int) bool { return p.tile.v[index(k)] > .5 })
	touched := touching(own, win, runs, n)
	other := make([]bool, w*win.Dy())
	for _, r := range runs {
		if !touched[r.id] {
			for x := r.x0; x < r.x1; x++ {
				other[r.y*w+x] = true
			}
		}
	}
	return func(k int) bool { return other[k] }
}
