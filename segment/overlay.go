package segment

import (
	"context"
	"fmt"
	"math"

	"gapshade/colormath"
	"gapshade/segment/pair"
)

// overlay is the second photo laid over the first one's view.
type overlay struct {
	*view           // the second photo, first frame; of the first's exposure once matched
	tile    *plane  // the network's coverage of it
	tiles   *pieces // the first photo's tiles
	reading PairReading
}

// Two photos that lie right: their edges agree (a correlation, on path-traced pairs .76
// to .94), and so do their tiles, light ones with light ones. A regular grid agrees in
// its edges turned upside down too, and only the tiles tell.
const (
	goodEdges = 0.5
	goodTiles = 0.5
)

// overlay finds the second photo's place, roughly by the net of all edges, then by
// the tiles, then by their faces.
func (f *Finder) overlay(ctx context.Context, ev *evidence, opt Options) (*overlay, error) {
	sec := opt.Second
	turns := sec.turns()
	if len(turns) == 0 {
		return nil, &PairError{OtherShape, fmt.Sprintf("the second is %d x %d px, the first %d x %d", sec.W, sec.H, sec.FirstW, sec.FirstH)}
	}
	o := &overlay{tiles: ev.pieces()}
	l := sec.reduced(ev.view)
	first := ev.grey(opt.Threads, asIs)
	var h colormath.Homography
	best := math.Inf(-1)
	for _, turn := range turns {
		guess := ev.fromFull().After(sec.turned(turn))
		v, err := l.over(guess, opt.Threads)
		if err != nil {
			return nil, err
		}
		by, edges := pair.Near(first, v.grey(opt.Threads, asIs), opt.Threads)
		if o.view, err = l.over(by.After(guess), opt.Threads); err != nil {
			return nil, err
		}
		tiles := o.likeness(ev)
		if edges+tiles > best {
			best, h = edges+tiles, by.After(guess)
		}
		if edges >= goodEdges && tiles >= goodTiles {
			break
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return o, f.place(o, ev, l, h, opt)
}

// place goes from a rough place to the exact one and checks that it holds for
// every tile.
func (f *Finder) place(o *overlay, ev *evidence, l overlaid, h colormath.Homography, opt Options) error {
	v, err := l.over(h, opt.Threads)
	if err != nil {
		return err
	}
	tile := f.tiles(v, clues{}, opt.Threads).paired()
	shifts := pair.Shifts(o.tiles.around(pair.Reach), o.tiles.n, ev.tile.paired(), tile, opt.Threads)
	by := pair.Place(shifts, ev.w, ev.h)
	if o.view, err = l.over(by.After(h), opt.Threads); err != nil {
		return err
	}
	by = pair.Settle(ev.grey(opt.Threads, logged), o.grey(opt.Threads, o.loggedAs(ev)), o.faces(ev, o.view), opt.Threads).After(by)
	if o.view, err = l.over(by.After(h), opt.Threads); err != nil {
		return err
	}
	back, _ := ev.fromFull().Inverse()
	o.reading.ToPicture = back.After(by).After(h)
	o.tile = &plane{ev.w, ev.h, tile.Moved(by, opt.Threads).V}
	if err := o.sameLayout(ev); err != nil {
		return err
	}
	return o.unmoved(shifts, by)
}

// loggedAs is logged for the second photo at the first one's exposure, roughly.
func (o *overlay) loggedAs(ev *evidence) func(y float64) float64 {
	k := math.Exp(o.faceChange(ev))
	return func(y float64) float64 { return logged(k * y) }
}

// faceClear is how far from the gap a face is free of what the paper does to it, px:
// light thrown on bevels, edges drawn aside. On path-traced pairs the place read off
// faces was off by up to .14 px at two px from the edge, by .02 at three and four.
const faceClear = 4

// burnt is where a channel may stand at the photo's white, linear: 8-bit 251.
const burnt = 0.96

// faces marks the pixels of faces that both photos show with tone.
func (o *overlay) faces(ev *evidence, second *view) *pair.Plane {
	p := pair.NewPlane(ev.w, ev.h)
	for i := range p.V {
		if o.tiles.inside[i] > faceClear && ev.tile.v[i] > .9 && toned(ev.lin[3*i:]) && toned(second.lin[3*i:]) {
			p.V[i] = 1
		}
	}
	return p
}

func toned(p []float32) bool { return max(p[0], p[1], p[2]) < burnt }

// leastShared is the overlap (IoU) of the gaps in both photos from which they are the
// same layout. Path-traced pairs have .79 to .9; one layout over another .2 to .4.
const leastShared = 0.55

// leastLike is the least likeness of the tiles of one layout in two photos: light that
// passes glass may change them a good deal.
const leastLike = 0.2

// sameLayout compares where the network sees gaps, and the tiles.
func (o *overlay) sameLayout(ev *evidence) error {
	both, either := 0, 0
	for i, in := range ev.lay.panel {
		if !in {
			continue
		}
		a, b := ev.tile.v[i] <= .5, o.tile.v[i] <= .5
		if a && b {
			both++
		}
		if a || b {
			either++
		}
	}
	if float64(both) < leastShared*float64(either) {
		return &PairError{OtherLayout, fmt.Sprintf("only %.0f %% of the gaps agree once one photo is laid over the other", 100*float64(both)/float64(max(either, 1)))}
	}
	if o.likeness(ev) < leastLike {
		return &PairError{OtherLayout, "the joints agree once one photo is laid over the other, the tiles between them don't"}
	}
	return nil
}

// likeness is the correlation of the tiles' brightness (logarithms) in both photos;
// 1 when they are too much alike, or too few, to tell.
func (o *overlay) likeness(ev *evidence) float64 {
	var n, sa, sb, saa, sbb, sab float64
	for _, s := range o.samples(ev) {
		a, b := logged(luminance(s.First)/s.Area), logged(luminance(s.Second)/s.Area)
		n, sa, sb, saa, sbb, sab = n+1, sa+a, sb+b, saa+a*a, sbb+b*b, sab+a*b
	}
	va, vb := saa-sa*sa/n, sbb-sb*sb/n
	if n < fewToTell || va < alike*alike*n || vb < alike*alike*n {
		return 1
	}
	return (sab - sa*sb/n) / math.Sqrt(va*vb)
}

// Fewer tiles than fewToTell may agree by chance; a deviation of alike, about 10 %, may
// be the light alone.
const (
	fewToTell = 8
	alike     = 0.1
)

func luminance(c [3]float64) float64 { return .2126*c[0] + .7152*c[1] + .0722*c[2] }

// How far a tile may seem to lie off, in view px, where a gap is about eight wide.
// Shadows make the network see single tiles up to 1.0 px aside on path-traced pairs;
// one tile is called moved from farMoved on, several from nearMoved. A shift that
// leaves most of the difference is none.
const (
	nearMoved = 1.4
	farMoved  = 2.0
	mostRest  = 0.7
)

// unmoved looks for tiles that lie elsewhere than the rest.
func (o *overlay) unmoved(shifts []pair.Shift, by colormath.Homography) error {
	off := pair.Beyond(shifts, by)
	near, far, worst := 0, 0, -1
	for i, d := range off {
		if d < nearMoved || shifts[i].Rest > mostRest {
			continue
		}
		near++
		if d >= farMoved {
			far++
		}
		if worst < 0 || d > off[worst] {
			worst = i
		}
	}
	if far == 0 && (near < 2 || 50*near < len(off)) {
		return nil
	}
	s := &shifts[worst]
	verb, more := "lie", ""
	if near == 1 {
		verb = "lies"
	}
	if max(math.Abs(s.DX), math.Abs(s.DY)) >= pair.Reach {
		more = " or more"
	}
	x, y := o.toFull(s.X, s.Y)
	return &PairError{TilesMoved, fmt.Sprintf("%d of %d tiles %s elsewhere than in the first, the worst at %.0f,%.0f by %.0f px%s",
		near, len(off), verb, x, y, math.Round(off[worst]/o.scale), more)}
}
