package segment

import (
	"context"
	"math"

	"gapshade/colormath"
	"gapshade/segment/pair"
)

// Second is a second photo of the same layout, on another paper.
type Second struct {
	W, H int // upright, px

	// Reduced gives the photo in linear light with at most so many pixels, made
	// smaller by the whole factor that it returns. Nothing of it is kept.
	Reduced func(maxPixels int) (pic *colormath.Picture, factor int)

	FirstW, FirstH int                  // the first photo, upright, px
	ToPicture      colormath.Homography // first photo px → px of the picture that Find is given
}

// PairFault is why two photos don't make a pair.
type PairFault int

// The reasons.
const (
	OtherShape  PairFault = iota + 1 // the photos' proportions differ
	OtherLayout                      // one can't be laid over the other
	TilesMoved                       // some tiles lie elsewhere in the second photo
	SamePaper                        // the bed looks the same in both
)

// PairError says that two photos can't be used as a pair.
type PairError struct {
	Fault PairFault
	Why   string // what was seen, one clause
	Moved []Tile // the tiles that lie elsewhere, as the first photo shows them; px of the picture
}

func (e *PairError) Error() string { return "the two photos don't make a pair: " + e.Why }

// PairReading is what two photos told about each other.
type PairReading struct {
	ToPicture colormath.Homography // second photo px → picture px
	Lighter   bool                 // the second photo is the one on the lighter paper
	Contrast  float64              // of the papers in the gaps: (light − dark) ÷ (light + dark), 0…1
	Exposure  [3]float64           // what matched the second to the first in the middle, R, G, B
	Paper     [3]float64           // the second photo's paper over the first's in the same light, R, G, B
	Through   int                  // tiles that the bed shows through
}

// evidenceOfTwo is the evidence of both photos. A first look serves to lay the second
// photo over the first; what the paper changed then tells how wide the gaps are, and so
// at which scale to look. There the network is shown both photos at once; the light decides
// where it tells, the network where it doesn't.
func (f *Finder) evidenceOfTwo(ctx context.Context, pic *colormath.Picture, win window, opt Options) (*evidence, error) {
	ev, d, err := f.lookAtBoth(ctx, pic, win, opt)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	o := &overlay{laidOver: d, first: ev.tile, second: f.tiles(d.view, clues{pattern: ev.pattern}, opt.Threads)}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	ev.tile = f.tiles(ev.view, clues{second: d.view, pattern: ev.pattern}, opt.Threads)
	ev.tile = d.combine(ev.view, ev.tile, opt.Panel, opt.Threads)
	d.read(ev, opt)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := o.unmoved(ev, opt.Threads); err != nil {
		return nil, err
	}
	o.tiles = ev.pieces()
	if err := o.read(ev); err != nil {
		return nil, err
	}
	ev.tidy()
	c := o.change(ev, opt.Threads)
	ev.through, o.reading.Through = c.through(opt.Threads)
	c.settle(opt.Threads)
	d.read(ev, opt) // gaps are as wide as their edges say now
	ev.pair = &o.reading
	return ev, nil
}

// read reads the layout off the evidence of both photos.
func (d *laidOver) read(ev *evidence, opt Options) {
	ev.lay = readLayout(ev, opt)
	d.own(ev.lay)
}

// lookAtBoth chooses the scale and lays the second photo over the view of it.
func (f *Finder) lookAtBoth(ctx context.Context, pic *colormath.Picture, win window, opt Options) (*evidence, *laidOver, error) {
	scale := coarseScales(win, opt)[0]
	ev := f.look(pic, win, scale, nil, false, opt)
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	look := func(v *view) *plane { return f.tiles(v, clues{}, opt.Threads) }
	d, err := opt.Second.layOver(ctx, ev.view, ev.tile, look, opt)
	if err != nil {
		return nil, nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	for range closerLooks {
		both := *ev
		both.tile = d.combine(ev.view, ev.tile, opt.Panel, opt.Threads)
		d.read(&both, opt)
		scale = bounded(ev.scale*wantGap/max(both.lay.gap, 1), win)
		pattern := both.patterned() >= muchPattern
		if r := scale / ev.scale; r > 0.8 && r < 1.25 {
			ev.pattern = pattern
			break
		}
		ev = f.look(pic, win, scale, nil, pattern, opt)
		if d, err = opt.Second.layAgain(d, ev.view, ev.tile, look, opt); err != nil {
			return nil, nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
	}
	return ev, d, nil
}

// sameShape is how much the proportions of two photos may differ: a camera crops
// the same way each time.
const sameShape = 0.02

// turns are the quarter turns, clockwise, by which the second photo may have to be
// turned to fit the first: a phone held over a table often gets up and down wrong.
func (s *Second) turns() []int {
	first := float64(s.FirstW) / float64(s.FirstH)
	var out []int
	if ratio := float64(s.W) / float64(s.H); math.Abs(ratio/first-1) <= sameShape {
		out = append(out, 0, 2)
	}
	if ratio := float64(s.H) / float64(s.W); math.Abs(ratio/first-1) <= sameShape {
		out = append(out, 1, 3)
	}
	return out
}

// turned is the map from the second photo's px, turned and scaled to the first one's
// size, to the picture's.
func (s *Second) turned(quarters int) colormath.Homography {
	corners := func(w, h int) [4][2]float64 {
		x, y := float64(w)-.5, float64(h)-.5
		return [4][2]float64{{-.5, -.5}, {x, -.5}, {x, y}, {-.5, y}}
	}
	from, to := corners(s.W, s.H), corners(s.FirstW, s.FirstH)
	var at [4][2]float64
	for i := range at {
		at[i] = to[(i+quarters)%4]
	}
	h, err := colormath.HomographyOf(from, at)
	if err != nil { // a photo has an area
		return s.ToPicture
	}
	return s.ToPicture.After(h)
}

// overlaid is a second photo ready to be laid over a view: reduced to about the view's
// fineness.
type overlaid struct {
	pic      *colormath.Picture
	toFull   colormath.Homography // px of pic → second photo px
	pxW, pxH int                  // of the second photo
	onto     *view
	rough    *pair.Plane        // the view\'s luminance, softened by softRough
	look     func(*view) *plane // what the network says of a view; nil = not to be asked
	face     *plane             // a first idea of where faces are; may be nil
	panel    *Quad              // nil when it isn't given
	threads  int
}

// reduced reads the second photo no finer than the view needs it.
func (s *Second) reduced(v *view, face *plane, opt Options) overlaid {
	k := max(1, int(1/v.scale))
	across := func(n int) int { return (n + k - 1) / k }
	pic, factor := s.Reduced(across(s.W) * across(s.H))
	n := float64(factor)
	return overlaid{pic: pic, toFull: colormath.Homography{n, 0, (n - 1) / 2, 0, n, (n - 1) / 2, 0, 0, 1}, pxW: s.W, pxH: s.H, onto: v,
		rough: softened(v, softRough, opt.Threads), face: face, panel: opt.Panel, threads: opt.Threads}
}

// over is the photo as it lies in the view; h takes second photo px to view px.
func (l overlaid) over(h colormath.Homography, threads int) (*view, error) {
	pic, err := colormath.Warp(l.pic, h.After(l.toFull), l.onto.w, l.onto.h, threads)
	if err != nil {
		return nil, err
	}
	v := *l.onto
	v.lin = pic.Pix
	return &v, nil
}

// fromFull is toView as a map.
func (v *view) fromFull() colormath.Homography {
	sx, sy := float64(v.w)/float64(v.win.w), float64(v.h)/float64(v.win.h)
	return colormath.Homography{sx, 0, (.5-float64(v.win.x0))*sx - .5, 0, sy, (.5-float64(v.win.y0))*sy - .5, 0, 0, 1}
}

// grey is one number per view pixel, made of its luminance.
func (v *view) grey(threads int, of func(y float64) float64) *pair.Plane {
	p := pair.NewPlane(v.w, v.h)
	colormath.Rows(v.h, threads, func(y0, y1 int) {
		for i := y0 * v.w; i < y1*v.w; i++ {
			p.V[i] = float32(of(v.luminance(i)))
		}
	})
	return p
}

func asIs(y float64) float64 { return y }

// logged is the logarithm of a luminance, noise in deep shadow held down.
func logged(y float64) float64 { return math.Log(max(y, 0) + .01) }

func (p *plane) paired() *pair.Plane { return &pair.Plane{W: p.w, H: p.h, V: p.v} }
