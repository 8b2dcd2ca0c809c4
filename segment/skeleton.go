package segment

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// StrokesOf turns what was painted on a w × h mask into strokes, part by part in
// reading order: lines of discs along the middle of what was painted, whose radii
// reach to its edge. A part that branches becomes a stroke per branch. Dots of one
// or two pixels are taken for dirt. Sharp corners of wide areas come out round.
func StrokesOf(w, h int, painted func(i int) bool, shows Shows) (out []Stroke) {
	runs, n := components(w, h, painted)
	box := make([]image.Rectangle, n+1)
	for _, r := range runs {
		box[r.id] = box[r.id].Union(image.Rect(r.x0, r.y, r.x1, r.y+1))
	}
	size := areas(runs, n)
	part := make([][]run, n+1)
	for _, r := range runs {
		part[r.id] = append(part[r.id], r)
	}
	for id := 1; id <= n; id++ {
		if size[id] >= leastDot {
			out = append(out, newSkeleton(part[id], box[id]).strokes(shows)...)
		}
	}
	return out
}

// leastDot is the smallest part that counts as painted, px².
const leastDot = 3

// skeleton is one part being thinned to its middle lines, in a window with two px
// of nothing all round.
type skeleton struct {
	at   image.Point // of the window's first pixel
	w    int
	on   []bool
	deep []float32 // how far inside, px; what is left keeps it as radius
}

func newSkeleton(runs []run, box image.Rectangle) *skeleton {
	win := box.Inset(-2)
	s := &skeleton{at: win.Min, w: win.Dx(), on: make([]bool, win.Dx()*win.Dy())}
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			s.on[(r.y-s.at.Y)*s.w+x-s.at.X] = true
		}
	}
	s.deep, _ = distances(s.w, win.Dy(), func(i int) bool { return !s.on[i] })
	s.thin()
	return s
}

// ring is the eight neighbours of a pixel, anticlockwise from the right.
func (s *skeleton) ring(i int) [8]int {
	return [8]int{i + 1, i + 1 - s.w, i - s.w, i - 1 - s.w, i - 1, i - 1 + s.w, i + s.w, i + 1 + s.w}
}

// thin takes pixels away, depth by depth and from the four sides in turn, as long
// as that parts nothing, opens no hole and shortens no line. Sides in turn, because
// all at once would eat a line two px wide from its end.
//
// Yokoi, Toriwaki, Fukumura, "An analysis of topological properties of digitized
// binary pictures", Computer Graphics and Image Processing 4 (1975) 63–73: a pixel
// whose connectivity number is 1 may go.
func (s *skeleton) thin() {
	var deeper, open []int
	for i, on := range s.on {
		if on {
			deeper = append(deeper, i)
		}
	}
	slices.SortStableFunc(deeper, func(a, b int) int { return cmp.Compare(s.deep[a], s.deep[b]) })
	for depth := float32(1); len(deeper) > 0; depth++ {
		n := 0
		for n < len(deeper) && s.deep[deeper[n]] <= depth {
			n++
		}
		open, deeper = append(open, deeper[:n]...), deeper[n:]
		for before := -1; before != len(open); {
			before = len(open)
			for _, side := range [4]int{-s.w, s.w, 1, -1} {
				open = s.peel(open, side)
			}
		}
	}
}

// peel takes away what may go of the pixels that have nothing on one side, and
// returns those that stay.
func (s *skeleton) peel(open []int, side int) []int {
	bare := make([]bool, len(open))
	for k, i := range open {
		bare[k] = !s.on[i+side]
	}
	left := open[:0]
	for k, i := range open {
		if bare[k] && s.simple(i) {
			s.on[i] = false
		} else {
			left = append(left, i)
		}
	}
	return left
}

// simple says whether a pixel may go: it has a neighbour to each side it belongs
// to, and those hang together without it.
func (s *skeleton) simple(i int) bool {
	ring := s.ring(i)
	var off [8]int
	n := 0
	for k, j := range ring {
		if !s.on[j] {
			off[k] = 1
		} else {
			n++
		}
	}
	number := 0
	for k := 0; k < 8; k += 2 {
		number += off[k] - off[k]*off[k+1]*off[(k+2)%8]
	}
	return number == 1 && n > 1
}

// neighbours are the pixels of the skeleton beside one; of two that touch each
// other, the one across a corner is left out, so that a bend is no branch.
func (s *skeleton) neighbours(i int) (out []int) {
	ring := s.ring(i)
	for k, j := range ring {
		if s.on[j] && (k%2 == 0 || !s.on[ring[k-1]] && !s.on[ring[(k+1)%8]]) {
			out = append(out, j)
		}
	}
	return out
}

// strokes walks along the lines between ends and branchings, then round what is
// left, which are rings.
func (s *skeleton) strokes(shows Shows) (out []Stroke) {
	walked := map[[2]int]bool{}
	var ends, rest []int
	for i, on := range s.on {
		if !on {
			continue
		}
		if n := len(s.neighbours(i)); n == 0 {
			out = append(out, s.stroke([]int{i}, shows))
		} else if n != 2 {
			ends = append(ends, i)
		} else {
			rest = append(rest, i)
		}
	}
	for _, i := range append(ends, rest...) {
		for _, j := range s.neighbours(i) {
			if len(s.neighbours(i)) == 2 && s.met(i, walked) {
				continue // on a line that was walked along already
			}
			if path := s.walk(i, j, walked); path != nil && !s.spur(path) {
				out = append(out, s.stroke(path, shows))
			}
		}
	}
	return out
}

// met says whether a step to or from a pixel was made.
func (s *skeleton) met(i int, walked map[[2]int]bool) bool {
	for _, j := range s.neighbours(i) {
		if walked[[2]int{i, j}] {
			return true
		}
	}
	return false
}

// walk goes from i by way of j until the line ends, branches or comes round; nil
// when that was done from the other end.
func (s *skeleton) walk(i, j int, walked map[[2]int]bool) []int {
	if walked[[2]int{i, j}] {
		return nil
	}
	path := []int{i}
	for start := i; ; {
		walked[[2]int{i, j}], walked[[2]int{j, i}] = true, true
		path = append(path, j)
		next := s.neighbours(j)
		if len(next) != 2 || j == start {
			return path
		}
		if next[0] == i {
			next[0] = next[1]
		}
		i, j = j, next[0]
	}
}

// spur says whether a path is only the way from a branching to a bump or a corner
// of the edge: no longer than what lies round the branching.
func (s *skeleton) spur(path []int) bool {
	first, last := path[0], path[len(path)-1]
	free, held := len(s.neighbours(last)) == 1, len(s.neighbours(first)) > 2
	if !free || !held {
		first, last = last, first
		free, held = len(s.neighbours(last)) == 1, len(s.neighbours(first)) > 2
	}
	return free && held && float64(len(path)) < 1.5*float64(s.deep[first])+2
}

// stroke is a path with the radii that reach to the edge, without discs at its ends
// that lie in the next one.
func (s *skeleton) stroke(path []int, shows Shows) Stroke {
	var discs []Dab
	for _, i := range path {
		p := Point{float64(s.at.X + i%s.w), float64(s.at.Y + i/s.w)}
		discs = append(discs, Dab{p, max(.5, float64(s.deep[i])-.5)})
	}
	inNext := func(a, b Dab) bool { return math.Hypot(a.X-b.X, a.Y-b.Y)+a.R <= b.R+.5 }
	for len(discs) > 1 && inNext(discs[0], discs[1]) {
		discs = discs[1:]
	}
	for n := len(discs); n > 1 && inNext(discs[n-1], discs[n-2]); n = len(discs) {
		discs = discs[:n-1]
	}
	return Stroke{Shows: shows, Path: discs}
}
