package segment

import (
	"fmt"
	"math"

	"gapshade/segment/pair"
)

// Whether a tile was moved is asked of its own face where that carries a pattern that
// both photos show, and of its outline where it doesn't.

// How far a tile may seem to lie off, in view px, where a gap is about eight wide.
// Shadows make the network see single tiles up to 1.0 px aside on path-traced pairs;
// one tile is called moved from farMoved on, several from nearMoved.
const (
	nearMoved = 1.4
	farMoved  = 2.0
)

// A face tells by its pattern that it lies still when so many points of it are that much
// alike where it should lie, and that it was moved when they are clearly alike elsewhere
// and hardly there. Noise alone comes to .4 at the best of all places.
const (
	fewPoints  = 40
	stillPrint = 0.5
	movedPrint = 0.85
	muchLess   = 0.7
)

// An outline tells that a tile was moved when its shift explains most of the difference
// between both photos' coverage of it, and what is left is little for a tile's rim.
const mostRest = 0.5

// faceRim is how far from its edge a face's pattern is read, px: bevels and the shadow of
// the neighbours change with the paper.
const faceRim = 3

// whole is what both photos or each of them alone show as tile: a painted tile that was
// pushed changes where its stripes cross, and both together don't show it whole.
func (o *overlay) whole(ev *evidence) *evidence {
	out := *ev
	out.tile = newPlane(ev.w, ev.h)
	for i := range out.tile.v {
		out.tile.v[i] = max(ev.tile.v[i], min(o.first.v[i], o.second.v[i]))
	}
	return &out
}

// unmoved looks for tiles that lie elsewhere than the rest.
func (o *overlay) unmoved(ev *evidence, threads int) error {
	o.tiles = o.whole(ev).pieces()
	core := make([]int32, len(o.tiles.label))
	for i, l := range o.tiles.label {
		if o.tiles.inside[i] > faceRim {
			core[i] = l
		}
	}
	prints := pair.Prints(core, o.tiles.n, ev.grey(threads, logged), o.grey(threads, logged), threads)
	shifts := pair.Shifts(o.tiles.around(pair.Reach), o.tiles.n, o.first.paired(), o.second.paired(), threads)
	var moved []pair.Shift
	far := false
	for _, s := range shifts {
		p := &prints[s.Tile]
		switch {
		case p.Points >= fewPoints && p.Best >= movedPrint && p.Here <= muchLess*p.Best:
			// Stripes tell how far they moved across themselves alone; the outline tells more
			// where it is clear.
			if s.Rest > mostRest || math.Hypot(p.DX, p.DY) > math.Hypot(s.DX, s.DY) {
				s.DX, s.DY = p.DX, p.DY
			}
		case p.Points >= fewPoints && p.Here >= stillPrint:
			continue
		case s.Rest > mostRest:
			continue
		}
		d := math.Hypot(s.DX, s.DY)
		if d >= nearMoved {
			moved = append(moved, s)
		}
		far = far || d >= farMoved
	}
	if !far && (len(moved) < 2 || 50*len(moved) < len(shifts)) {
		return nil
	}
	return o.movedTiles(moved, len(shifts))
}

// movedTiles puts moved tiles in words.
func (o *overlay) movedTiles(moved []pair.Shift, of int) error {
	worst := &moved[0]
	for i := range moved {
		if s := &moved[i]; math.Hypot(s.DX, s.DY) > math.Hypot(worst.DX, worst.DY) {
			worst = s
		}
	}
	verb, more := "lie", ""
	if len(moved) == 1 {
		verb = "lies"
	}
	if max(math.Abs(worst.DX), math.Abs(worst.DY)) >= pair.Reach {
		more = " or more"
	}
	at := o.firstPlace(worst)
	e := &PairError{Fault: TilesMoved, Why: fmt.Sprintf("%d of %d tiles %s elsewhere than in the first, the worst at %.0f,%.0f by %.0f px%s",
		len(moved), of, verb, at.X, at.Y, math.Round(math.Hypot(worst.DX, worst.DY)/o.scale), more)}
	boxes := o.boxes()
	for i := range moved {
		b := boxes[moved[i].Tile]
		b.Centre = o.firstPlace(&moved[i])
		e.Moved = append(e.Moved, b)
	}
	return e
}

// firstPlace is where the first photo shows a moved tile, picture px: what both photos
// show as tile lies halfway.
func (o *overlay) firstPlace(s *pair.Shift) Point {
	x, y := o.toFull(s.X+s.DX/2, s.Y+s.DY/2)
	return Point{x, y}
}

// boxes are area and box of each tile, picture px, by number.
func (o *overlay) boxes() []Tile {
	out := make([]Tile, o.tiles.n+1)
	for i, l := range o.tiles.label {
		if l == 0 {
			continue
		}
		t := &out[l]
		x, y := i%o.w, i/o.w
		x0, y0 := o.toFull(float64(x)-.5, float64(y)-.5)
		x1, y1 := o.toFull(float64(x)+.5, float64(y)+.5)
		X0, Y0, X1, Y1 := int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x1))+1, int(math.Ceil(y1))+1
		if t.AreaPx == 0 {
			t.X0, t.Y0, t.X1, t.Y1 = X0, Y0, X1, Y1
		}
		t.AreaPx += 1 / (o.scale * o.scale)
		t.X0, t.Y0, t.X1, t.Y1 = min(t.X0, X0), min(t.Y0, Y0), max(t.X1, X1), max(t.Y1, Y1)
	}
	return out
}
