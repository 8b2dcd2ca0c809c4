package segment

import (
	"image"
	"math"
)

// painter puts one stroke on the network's answer, and remembers what was there.
//
// Red, "gap": a stroke no wider than areaBrush gaps says that a joint runs here,
// not how wide it is: see joint. A wider one is an area and becomes gap as it was
// painted. The inner half of a dab becomes gap in any case: a hand strays by less.
//
// Blue, "tile": what was painted becomes tile, and so does what the person meant
// to close with it: a hole that the stroke touches, to its edge; the rest of a
// narrow gap along which it was painted; a tile that was seen only softly, see grow.
//
// Either way a piece that was more than half painted over goes altogether.
type painter struct {
	*evidence
	gap  float64 // the middle gap, view px
	kind Shows
	undo []edit
}

// edit is a view pixel as it was.
type edit struct {
	at      int32
	tile    float32
	painted Shows
}

// areaBrush: a finger's width on a screen is a rough hint, three gaps across is
// a surface (ours).
const areaBrush = 1.5 // radius, in gaps

// paint puts a stroke on the view and returns what it changed, in order.
func (ev *evidence) paint(s Stroke) []edit {
	if ev.painted == nil {
		ev.painted = make([]Shows, ev.w*ev.h)
	}
	p := &painter{evidence: ev, gap: max(ev.lay.gap, 2), kind: s.Shows}
	path := ev.inView(s.Path)
	if s.Shows == ShowsTile {
		p.close(path)
		return p.undo
	}
	own := p.shapeOf(path, 1)
	p.takeWhole(own)
	if length, radius := lengthOf(path); radius <= areaBrush*p.gap {
		ends, ok := p.toGaps(path, own)
		if !ok && len(path) == 1 {
			if along, traced := p.alongTrace(path[0], own); traced {
				ends, ok = along, true
			}
		}
		line := length >= max(2*radius, p.gap)
		if ok || line {
			p.joint(p.follow(ends, radius))
			if !line { // what was dabbed is bed, wherever the joint was laid
				each(own.win, func(x, y int) { p.open(x, y, .5-own.at(x, y)-radius/2) })
			}
			return p.undo
		}
		for i := range path {
			path[i].R = max(path[i].R, p.gap/2)
		}
		own = p.shapeOf(path, 1)
	}
	each(own.win, func(x, y int) { p.open(x, y, .5-own.at(x, y)) })
	return p.undo
}

// set changes one pixel.
func (p *painter) set(i int, tile float32) {
	p.undo = append(p.undo, edit{int32(i), p.tile.v[i], p.painted[i]})
	p.tile.v[i], p.painted[i] = tile, p.kind
}

// open makes a pixel gap by at least so much, 0…1.
func (p *painter) open(x, y int, gap float64) {
	i := y*p.w + x
	if tile := float32(1 - min(max(gap, 0), 1)); tile < p.tile.v[i] || gap > .5 {
		p.set(i, min(tile, p.tile.v[i]))
	}
}

// takeWhole gives pieces to the gap that are more than half painted over.
func (p *painter) takeWhole(own shape) {
	isTile := func(i int) bool { return p.tile.v[i] > .5 }
	for _, piece := range p.under(own, isTile, func(painted int) int { return 2 * painted }) {
		for _, i := range piece.px {
			p.set(int(i), 0)
		}
	}
}

// piece is the pixels of a connected part that a stroke touches.
type piece struct {
	px      []int32
	painted int // how many of them the stroke covers
}

// under finds the connected parts of a set that the stroke touches and that are
// no larger than a limit, told from what of the set the stroke covers.
func (p *painter) under(own shape, in func(i int) bool, limit func(painted int) int) (out []piece) {
	painted := 0
	each(own.win, func(x, y int) {
		if own.at(x, y) < 0 && in(y*p.w+x) {
			painted++
		}
	})
	seen := map[int32]bool{}
	each(own.win, func(x, y int) {
		i := int32(y*p.w + x)
		if own.at(x, y) >= 0 || seen[i] || !in(int(i)) {
			return
		}
		part, whole := p.flood(i, in, seen, limit(painted))
		n := 0
		for _, k := range part {
			if own.covers(int(k)%p.w, int(k)/p.w) {
				n++
			}
		}
		if whole && len(part) <= limit(n) {
			out = append(out, piece{part, n})
		}
	})
	return out
}

// flood gathers the part of a set round one pixel, up to a limit; whole says that
// all of it was found.
func (p *painter) flood(from int32, in func(i int) bool, seen map[int32]bool, limit int) (part []int32, whole bool) {
	part = []int32{from}
	seen[from] = true
	for k := 0; k < len(part); k++ {
		x, y := int(part[k])%p.w, int(part[k])/p.w
		for _, q := range [4]image.Point{{X: x - 1, Y: y}, {X: x + 1, Y: y}, {X: x, Y: y - 1}, {X: x, Y: y + 1}} {
			i := int32(q.Y*p.w + q.X)
			if !q.In(image.Rect(0, 0, p.w, p.h)) || seen[i] || !in(int(i)) {
				continue
			}
			seen[i] = true
			if part = append(part, i); len(part) > limit {
				return part, false
			}
		}
	}
	return part, true
}

// close makes tile of what a stroke covers and closes.
func (p *painter) close(path []Dab) {
	reach := p.gap/2 + 1
	own := p.shapeOf(path, reach+3)
	isGap := func(i int) bool { return p.tile.v[i] <= .5 }
	var closed []int32
	for _, hole := range p.under(own, isGap, func(int) int { return max(p.middle, 1) }) {
		if p.shutIn(hole) {
			closed = append(closed, hole.px...)
		}
	}
	closed = append(closed, p.alongside(own, reach)...)
	closed = append(closed, p.grown(own)...)
	var covered []int32
	each(own.win, func(x, y int) {
		i := y*p.w + x
		if share := float32(min(max(.5-own.at(x, y), 0), 1)); share > p.tile.v[i] || share > .5 {
			if isGap(i) && share > .5 {
				covered = append(covered, int32(i))
			}
			p.set(i, max(share, p.tile.v[i]))
		}
	})
	for _, i := range closed {
		p.set(int(i), 1)
	}
	p.smoothRims(p.withPockets(append(closed, covered...)))
}

// withPockets closes what little gap is shut in by closed pixels as well.
func (p *painter) withPockets(closed []int32) []int32 {
	win := p.windowOf(closed)
	runs, n := componentsIn(p.w, win, func(i int) bool { return p.tile.v[i] <= .5 })
	size, open := areas(runs, n), make([]bool, n+1)
	for _, r := range runs {
		if r.y == win.Min.Y || r.y == win.Max.Y-1 || r.x0 == win.Min.X || r.x1 == win.Max.X {
			open[r.id] = true
		}
	}
	all := len(closed)
	for _, r := range runs {
		for x := r.x0; !open[r.id] && 3*size[r.id] <= all && x < r.x1; x++ {
			closed = append(closed, int32(r.y*p.w+x))
			p.set(r.y*p.w+x, 1)
		}
	}
	return closed
}

// windowOf is the window round some pixels, one more all round.
func (p *painter) windowOf(px []int32) (win image.Rectangle) {
	for _, i := range px {
		x, y := int(i)%p.w, int(i)/p.w
		win = win.Union(image.Rect(x, y, x+1, y+1))
	}
	return win.Inset(-1).Intersect(image.Rect(0, 0, p.w, p.h))
}

// shutIn says whether a hole keeps away from the panel's edge.
func (p *painter) shutIn(hole piece) bool {
	for _, i := range hole.px {
		x, y := int(i)%p.w, int(i)/p.w
		if x == 0 || y == 0 || x == p.w-1 || y == p.h-1 || !p.lay.panel[i] {
			return false
		}
	}
	return true
}

// alongside finds what a stroke leaves of gaps that it means to close: pixels between
// it and a tile from which both together are no farther than reach, where at least
// a third of such a gap is painted over. A joint that the stroke only grazes stays.
func (p *painter) alongside(own shape, reach float64) (rest []int32) {
	w := own.win.Dx()
	index := func(k int) int { return (own.win.Min.Y+k/w)*p.w + own.win.Min.X + k%w }
	isGap := func(k int) bool { return p.tile.v[index(k)] <= .5 }
	runs, n := components(w, own.win.Dy(), func(k int) bool { return float64(own.out[k]) <= reach && isGap(k) })
	if n == 0 {
		return nil
	}
	toTile, tile := distances(w, own.win.Dy(), func(k int) bool { return !isGap(k) })
	left := func(k int) bool {
		return own.out[k] >= 0 && float64(own.out[k]+toTile[k]) <= reach && own.between(k, int(tile[k]))
	}
	balance := make([]int, n+1) // twice what is painted over, less what is left
	for _, r := range runs {
		for k := r.y*w + r.x0; k < r.y*w+r.x1; k++ {
			if own.out[k] < 0 {
				balance[r.id] += 2
			} else if left(k) {
				balance[r.id]--
			}
		}
	}
	for _, r := range runs {
		for k := r.y*w + r.x0; balance[r.id] > 0 && k < r.y*w+r.x1; k++ {
			if left(k) {
				rest = append(rest, int32(index(k)))
			}
		}
	}
	return rest
}

// rim is how far the soft edge of a closed hole reaches into the tile, view px.
const rim = 3

// smoothRims raises the soft edge round pixels that were closed, where no gap is
// left to have that edge.
func (p *painter) smoothRims(closed []int32) {
	if len(closed) == 0 {
		return
	}
	win := p.windowOf(closed).Inset(-rim).Intersect(image.Rect(0, 0, p.w, p.h))
	w := win.Dx()
	index := func(k int) int { return (win.Min.Y+k/w)*p.w + win.Min.X + k%w }
	fresh := make([]bool, w*win.Dy())
	for _, i := range closed {
		fresh[(int(i)/p.w-win.Min.Y)*w+int(i)%p.w-win.Min.X] = true
	}
	toClosed, _ := distances(w, win.Dy(), func(k int) bool { return fresh[k] })
	toGap, _ := distances(w, win.Dy(), func(k int) bool { return p.tile.v[index(k)] <= .5 })
	for k := range fresh {
		if i := index(k); toClosed[k] <= rim && toClosed[k] < toGap[k] && p.tile.v[i] < 1 {
			p.set(i, 1)
		}
	}
}

// paintedTile says whether any pixel of a run was painted tile.
func (a *Analysis) paintedTile(r run) bool {
	ev := a.ev
	if ev.painted == nil {
		return false
	}
	for x := r.x0; x < r.x1; x++ {
		vx, vy := ev.toView(float64(x), float64(r.y))
		i, j := int(math.Round(vx+ev.lean.X)), int(math.Round(vy+ev.lean.Y))
		if ev.painted[clampInt(j, 0, ev.h-1)*ev.w+clampInt(i, 0, ev.w-1)] == ShowsTile {
			return true
		}
	}
	return false
}
