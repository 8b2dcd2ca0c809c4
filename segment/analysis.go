package segment

import (
	"context"
	"image"
	"math"
	"slices"

	"gapshade/colormath"
)

// Analysis is a map together with what is needed to correct it by strokes. A
// stroke changes the network's answer where it was painted, and only what depends
// on that is done again: coverage in the stroke's window, the tiles that reach
// into it, the borders of these tiles. Learn then carries strokes over to places that
// look alike; what comes out is the map that Analyse gives for the same strokes in
// Options.Strokes, to the last byte. The panel's outline, the scale, the light, how the
// photo's own edges settle and the confidence are read off the photo alone; no stroke
// changes them.
//
// An Analysis is for one goroutine at a time.
type Analysis struct {
	m       *Map
	ev      *evidence
	threads int
	inside  []bool // the panel
	outside []bool // what strokes took out of it; nil without such strokes

	speck   int               // px² below which a piece is no tile
	specks  []image.Rectangle // boxes of the pieces that were none
	first   []int32           // first pixel of every tile
	crowded bool              // there were more pieces than numbers
	gap     uint64            // coverage of the panel, added up
	faces   faces
	counted []tally // of panel, doubt and edges, cell by cell of the sureness
	layers  []layer // strokes, oldest first

	finder  *Finder
	taught  int       // strokes that the network was told of
	answers []*answer // what it said, the first without strokes, the last with these
}

// layer is one stroke and what it changed.
type layer struct {
	stroke  Stroke
	changes []edit
}

// Analyse does what Find does and keeps what strokes need.
func (f *Finder) Analyse(ctx context.Context, pic *colormath.Picture, opt Options) (*Analysis, error) {
	for i := range opt.Strokes {
		if err := opt.Strokes[i].check(); err != nil {
			return nil, err
		}
	}
	look := f.evidence
	if opt.Second != nil {
		look = f.evidenceOfTwo
	}
	ev, err := look(ctx, pic, opt.window(pic), opt)
	if err != nil {
		return nil, err
	}
	if err := ev.refuse(opt); err != nil {
		return nil, err
	}
	a := &Analysis{m: &Map{W: pic.W, H: pic.H, Confidence: ev.confidence(), Pair: ev.pair}, ev: ev, threads: opt.Threads, finder: f}
	a.m.panel(ev, opt)
	a.within()
	opt.done("network", a)
	if ev.pair == nil {
		ev.byColour(opt.Threads)
		opt.done("colour", a)
	}
	ev.tidy()
	opt.done("tidy", a)
	a.m.Lamp = ev.towardsLamp()
	if ev.pair == nil { // edges that two photos show are measured, not guessed
		lean := lampLean * ev.lay.gap
		ev.lean = Point{lean * a.m.Lamp.X, lean * a.m.Lamp.Y}
		opt.done("lean", a)
	}
	ev.settled = ev.settleEdges(pic, ev.lean, opt.Threads)
	opt.done("settle", a)
	a.pieces() // the limit for specks is read off the photo as it is
	opt.done("pieces", a)
	ev.bare = &plane{ev.w, ev.h, slices.Clone(ev.tile.v)}
	a.answers = []*answer{{0, ev.bare, ev.own, ev.middle}}
	for _, s := range opt.Strokes {
		a.paint(s)
	}
	if anew, err := a.Learn(ctx); err != nil {
		return nil, err
	} else if !anew {
		a.redoAll()
	}
	return a, ctx.Err()
}

// Map is the map as it is now. The next stroke changes it in place; its lists of
// tiles and borders are made anew.
func (a *Analysis) Map() *Map { return a.m }

// Strokes are the strokes on the map, oldest first.
func (a *Analysis) Strokes() (out []Stroke) {
	for _, l := range a.layers {
		out = append(out, l.stroke)
	}
	return out
}

// Stroke puts one more stroke on the map. It returns the window of the picture
// outside which no coverage has changed; tile numbers may have moved on elsewhere,
// because they follow reading order.
func (a *Analysis) Stroke(s Stroke) (image.Rectangle, error) {
	if err := s.check(); err != nil {
		return image.Rectangle{}, err
	}
	win := a.paint(s)
	if s.Shows == ShowsOutside {
		return a.redoPanel(win), nil
	}
	return a.redo(win), nil
}

// Undo takes the last stroke off again and returns the window as Stroke does. It
// reports false when there is none.
func (a *Analysis) Undo() (image.Rectangle, bool) {
	n := len(a.layers) - 1
	if n < 0 {
		return image.Rectangle{}, false
	}
	last := a.layers[n]
	a.layers = a.layers[:n]
	if a.taught > n {
		return a.unlearn(), true
	}
	if last.stroke.Shows == ShowsOutside {
		return a.redoPanel(a.takeBack(&last.stroke)), true
	}
	for _, c := range slices.Backward(last.changes) {
		a.ev.tile.v[c.at], a.ev.painted[c.at] = c.tile, c.painted
	}
	return a.redo(a.pictureOf(last.changes)), true
}

// paint puts a stroke on the network's answer, or takes it out of the panel. It
// returns the window of the picture that this changes.
func (a *Analysis) paint(s Stroke) (win image.Rectangle) {
	s.Path = slices.Clone(s.Path)
	l := layer{stroke: s}
	if s.Shows == ShowsOutside {
		win = a.paintOutside(&s)
	} else {
		l.changes = a.ev.paint(s)
		win = a.pictureOf(l.changes)
	}
	a.layers = append(a.layers, l)
	return win
}

// all is the whole picture.
func (a *Analysis) all() image.Rectangle { return image.Rect(0, 0, a.m.W, a.m.H) }

// pieces does coverage and tiles from the beginning.
func (a *Analysis) pieces() {
	m := a.m
	m.Gap, m.Label = make([]uint8, m.W*m.H), make([]uint16, m.W*m.H)
	m.Tiles, a.first, a.specks, a.crowded, a.faces, a.counted = nil, nil, nil, false, faces{}, nil
	m.cover(a.ev, a.all(), a.threads)
	a.number(a.all(), []bool{false})
	a.gap = m.gapIn(a.all())
	a.share()
}

// share turns the coverage that was added up into a share of the panel.
func (a *Analysis) share() {
	if a.m.PanelPx > 0 {
		a.m.GapShare = float64(a.gap) / 255 / a.m.PanelPx
	}
}

// redoPanel brings the map up to a change of the panel in a window.
func (a *Analysis) redoPanel(win image.Rectangle) image.Rectangle {
	a.within()
	a.gap = a.m.gapIn(a.all())
	return a.redo(win)
}

// redo brings the map up to changes in a window.
func (a *Analysis) redo(win image.Rectangle) image.Rectangle {
	m := a.m
	win = a.withSpecks(win)
	if win.Empty() {
		return win
	}
	// Two px: a tile may lose the sliver of a pixel beside one that has changed.
	reached, gone := win, make([]bool, len(m.Tiles)+1)
	each(win.Inset(-2).Intersect(a.all()), func(x, y int) { gone[m.Label[y*m.W+x]] = true })
	gone[0] = false
	for k, g := range gone {
		if g {
			reached = reached.Union(m.Tiles[k-1].box())
		}
	}
	a.gap -= m.gapIn(reached)
	a.empty(win)
	m.cover(a.ev, win, a.threads)
	if a.crowded || !a.number(reached, gone) {
		a.pieces()
		a.border(a.all())
		m.letThrough(a.ev, a.threads)
		return a.all()
	}
	a.gap += m.gapIn(reached)
	a.share()
	a.border(reached)
	m.letThrough(a.ev, a.threads)
	return reached
}

// pictureOf is the window of the picture whose coverage is read from changed
// pixels of the view: a pixel of it is read between four of those.
func (a *Analysis) pictureOf(changes []edit) image.Rectangle {
	var seen image.Rectangle
	for _, c := range changes {
		x, y := int(c.at)%a.ev.w, int(c.at)/a.ev.w
		seen = seen.Union(image.Rect(x, y, x+1, y+1))
	}
	if seen.Empty() {
		return seen
	}
	off := math.Hypot(a.ev.lean.X, a.ev.lean.Y) + mostShift
	x0, y0 := a.ev.toFull(float64(seen.Min.X)-1-off, float64(seen.Min.Y)-1-off)
	x1, y1 := a.ev.toFull(float64(seen.Max.X)+off, float64(seen.Max.Y)+off)
	return image.Rect(int(x0)-1, int(y0)-1, int(x1)+2, int(y1)+2).Intersect(a.all())
}

// withSpecks grows a window by the specks that it touches, because a speck may
// now be part of a tile. They are forgotten, to be found again.
func (a *Analysis) withSpecks(win image.Rectangle) image.Rectangle {
	if win.Empty() {
		return win
	}
	for more := true; more; {
		more = false
		a.specks = slices.DeleteFunc(a.specks, func(s image.Rectangle) bool {
			if !s.Overlaps(win.Inset(-1)) {
				return false
			}
			win, more = win.Union(s), true
			return true
		})
	}
	return win
}
