package segment

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

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

// pieces are the tiles of a view, numbered, with how far every pixel lies from the
// edge.
type pieces struct {
	w, h    int
	n       int       // how many
	label   []int32   // 1…n, 0 in gaps
	inside  []float32 // of a tile's pixel to the gap, px
	outside []float32 // of a gap's pixel to the nearest tile, px
	nearest []int32   // the nearest tile's pixel, −1 without tiles
}

// pieces reads the tiles off the coverage: specks are no tiles.
func (ev *evidence) pieces() *pieces {
	w, h := ev.w, ev.h
	p := &pieces{w: w, h: h, label: make([]int32, w*h)}
	in := ev.lay.panel
	runs, n := components(w, h, func(i int) bool { return in[i] && ev.tile.v[i] > .5 })
	size := areas(runs, n)
	speck := speckLimit(size[1:])
	number := make([]int32, n+1)
	for id := 1; id <= n; id++ {
		if size[id] >= speck {
			p.n++
			number[id] = int32(p.n)
		}
	}
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			p.label[r.y*w+x] = number[r.id]
		}
	}
	p.inside, _ = distances(w, h, func(i int) bool { return p.label[i] == 0 })
	p.outside, p.nearest = distances(w, h, func(i int) bool { return p.label[i] > 0 })
	return p
}

// owner is the tile that a pixel belongs to or lies nearest to; 0 without tiles.
func (p *pieces) owner(i int) int32 {
	if p.nearest[i] < 0 {
		return 0
	}
	return p.label[p.nearest[i]]
}

// around says whose surroundings a pixel is, up to reach px from a tile.
func (p *pieces) around(reach float32) []int32 {
	out := make([]int32, len(p.label))
	for i := range out {
		if p.outside[i] <= reach {
			out[i] = p.owner(i)
		}
	}
	return out
}

// goodAgreement is how well the edges agree at least once two photos lie right, as
// a correlation; below it another quarter turn is tried too.
const goodAgreement = 0.5

// overlay finds the second photo's place, roughly by the net of all edges, then by
// the tiles, then by their faces.
func (f *Finder) overlay(ctx context.Context, ev *evidence, opt Options) (*overlay, error) {
	sec := opt.Second
	turns := sec.turns()
	if len(turns) == 0 {
		return nil, &PairError{OtherShape, fmt.Sprintf("the second is %d x %d px, the first %d x %d", sec.W, sec.H, sec.FirstW, sec.FirstH)}
	}
	l := sec.reduced(ev.view)
	first := ev.grey(opt.Threads, asIs)
	var h colormath.Homography
	for best, i := -2.0, 0; i < len(turns) && best < goodAgreement; i++ {
		guess := ev.fromFull().After(sec.turned(turns[i]))
		v, err := l.over(guess, opt.Threads)
		if err != nil {
			return nil, err
		}
		if by, score := pair.Near(first, v.grey(opt.Threads, asIs), opt.Threads); score > best {
			best, h = score, by.After(guess)
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return f.place(ev, l, h, opt)
}

// place goes from a rough place to the exact one and checks that it holds for
// every tile.
func (f *Finder) place(ev *evidence, l overlaid, h colormath.Homography, opt Options) (*overlay, error) {
	v, err := l.over(h, opt.Threads)
	if err != nil {
		return nil, err
	}
	o := &overlay{tiles: ev.pieces()}
	tile := f.tiles(v, opt.Threads).paired()
	shifts := pair.Shifts(o.tiles.around(pair.Reach), o.tiles.n, ev.tile.paired(), tile, opt.Threads)
	by := pair.Place(shifts, ev.w, ev.h)
	if v, err = l.over(by.After(h), opt.Threads); err != nil {
		return nil, err
	}
	by = pair.Settle(ev.grey(opt.Threads, logged), v.grey(opt.Threads, logged), o.faces(ev, v), opt.Threads).After(by)
	if o.view, err = l.over(by.After(h), opt.Threads); err != nil {
		return nil, err
	}
	back, _ := ev.fromFull().Inverse()
	o.reading.ToPicture = back.After(by).After(h)
	o.tile = &plane{ev.w, ev.h, tile.Moved(by, opt.Threads).V}
	if err := o.sameLayout(ev); err != nil {
		return nil, err
	}
	return o, o.unmoved(shifts, by)
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

// sameLayout compares where the network sees gaps.
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
	return nil
}

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
	x, y := o.toFull(shifts[worst].X, shifts[worst].Y)
	return &PairError{TilesMoved, fmt.Sprintf("%d of %d tiles lie elsewhere than in the first, the worst at %.0f,%.0f by %.0f px", near, len(off), x, y, math.Ceil(off[worst]/o.scale))}
}

// leastContrast is the least difference of the papers, as they look in the gaps: a
// fifth of their mean. Exposures are matched to about 2 %.
const leastContrast = 0.1

// match brings the second photo to the first one's exposure and finds out which
// paper is the lighter.
func (o *overlay) match(ev *evidence, threads int) error {
	o.reading.Lighter = o.gapChange(ev) < o.faceChange(ev)
	e := pair.Match(o.samples(ev), ev.w, ev.h, !o.reading.Lighter)
	pic := &colormath.Picture{W: o.w, H: o.h, Pix: o.lin}
	e.Apply(pic, threads)
	o.reading.Exposure = e.At(float64(ev.w)/2, float64(ev.h)/2)
	o.reading.Contrast = math.Tanh(math.Abs(o.gapChange(ev)) / 2) // of a logarithm's ratio
	if o.reading.Contrast < leastContrast {
		return &PairError{SamePaper, fmt.Sprintf("what shows in the gaps differs by %.0f %% only", 100*(math.Exp(math.Abs(o.gapChange(ev)))-1))}
	}
	return nil
}

// gapClear is how far from a tile the middle of a gap is seen, px.
const gapClear = 2

// gapChange is the middle of log(first ÷ second) in the gaps, faceChange in faces.
func (o *overlay) gapChange(ev *evidence) float64 {
	return o.middle(ev, func(i int) bool { return ev.lay.panel[i] && o.tiles.outside[i] > gapClear })
}

func (o *overlay) faceChange(ev *evidence) float64 {
	return o.middle(ev, func(i int) bool { return o.tiles.inside[i] > faceClear })
}

func (o *overlay) middle(ev *evidence, take func(i int) bool) float64 {
	var v []float64
	for i := range o.tiles.label {
		if take(i) {
			v = append(v, math.Log((max(ev.luminance(i), 0)+.002)/(max(o.luminance(i), 0)+.002)))
		}
	}
	if len(v) == 0 {
		return 0
	}
	slices.SortFunc(v, cmp.Compare[float64])
	return colormath.Quantile(v, .5)
}

// samples averages the faces of the tiles.
func (o *overlay) samples(ev *evidence) []pair.Sample {
	all := make([]pair.Sample, o.tiles.n+1)
	faces := o.faces(ev, o.view)
	for i, l := range o.tiles.label {
		if l == 0 || faces.V[i] == 0 {
			continue
		}
		s := &all[l]
		s.Area++
		s.X += float64(i % o.w)
		s.Y += float64(i / o.w)
		for c := range 3 {
			s.First[c] += float64(ev.lin[3*i+c])
			s.Second[c] += float64(o.lin[3*i+c])
		}
	}
	const fewest = 12 // pixels that tell a tile from noise
	out := all[:0]
	for _, s := range all {
		if s.Area >= fewest {
			s.X, s.Y = s.X/s.Area, s.Y/s.Area
			out = append(out, s)
		}
	}
	return out
}

// blackest is a picture that no paper gives: as much darker than the photo on dark
// paper as the other one is lighter. Light adds, so all that paper throws back falls
// away there: bed and side walls turn black, and faces stay what they are.
func (o *overlay) blackest(ev *evidence, threads int) *view {
	v := *ev.view
	v.lin = make([]float32, len(ev.lin))
	dark, light := o.lin, ev.lin
	if o.reading.Lighter {
		dark, light = light, dark
	}
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for i := 3 * y0 * v.w; i < 3*y1*v.w; i++ {
			v.lin[i] = max(2*dark[i]-light[i], 0)
		}
	})
	return &v
}

// agree puts the evidence of both photos in the place of the first one's: what the
// network says of the photo on dark paper and of the blackest picture. On light paper
// it sees side walls and shadows that are none of the question; with its answer there
// as a third, path-traced pairs score no better (IoU .953, without it .955).
func (o *overlay) agree(ev *evidence, black *plane) {
	dark := o.tile
	if o.reading.Lighter {
		dark = ev.tile
	}
	for i := range ev.tile.v {
		ev.tile.v[i] = (dark.v[i] + black.v[i]) / 2
	}
}
