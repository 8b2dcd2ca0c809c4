package segment

import (
	"context"
	"fmt"
	"math"

	"gapshade/colormath"
	"gapshade/segment/pair"
)

// laidOver is the second photo as it lies over a view of the first, at the first one's
// exposure, and what its paper changed there. No tile has to be known for it.
type laidOver struct {
	*view
	at       colormath.Homography // second photo px → view px
	pxW, pxH int                  // of the second photo
	rough    *pair.Plane          // the first photo's luminance, softened by softRough
	exposure [3]float64           // what matched it in the middle, R, G, B
	lighter  bool                 // its paper is the lighter one
	papers   float64              // the papers' ratio, light to dark, as a logarithm; 0 when they hardly differ

	// share is how much of the paper shows, as the ratio of both photos tells: 0 where
	// nothing changed (faces, the table), 1 in open bed. known is 0 where no ratio can
	// be told (near black in both photos, burnt out) and 1 where it is clear.
	share, known *plane

	bed *plane // the light of the paper, linear, over that in open bed
}

// Two photos that lie right: their edges agree, and what the paper changed is lighter on
// the lighter paper. A regular grid agrees in its edges turned upside down too, but then
// half of what differs between its tiles is darker there. Path-traced and drawn pairs
// have edges of .84 to .99 (a correlation) and .000 darker; a drawn layout over another
// one .21, and over itself upside down .126 darker.
const (
	goodEdges   = 0.6
	goodDarker  = 0.03
	leastEdges  = 0.4
	mostDarker  = 0.09
	clearChange = 0.15 // of a ratio, as a logarithm: clearly no noise
)

// layOver finds the second photo's place over a view by the texture of the whole
// picture: roughly by all edges, whatever their sign; then by what both photos show
// alike. face, a first idea of where faces are, and look, which gives that of another
// view, may be nil; they serve where faces are too flat to show anything alike.
func (s *Second) layOver(ctx context.Context, v *view, face *plane, look func(*view) *plane, opt Options) (*laidOver, error) {
	turns := s.turns()
	if len(turns) == 0 {
		return nil, &PairError{Fault: OtherShape, Why: fmt.Sprintf("the second is %d x %d px, the first %d x %d", s.W, s.H, s.FirstW, s.FirstH)}
	}
	l := s.reduced(v, face, opt)
	l.look = look
	first := v.grey(opt.Threads, asIs)
	var best *laidOver
	var edges, darker float64
	for _, turn := range turns {
		guess := v.fromFull().After(s.turned(turn))
		second, err := l.over(guess, opt.Threads)
		if err != nil {
			return nil, err
		}
		by, e := pair.Near(first, second.grey(opt.Threads, asIs), opt.Threads)
		there, err := l.match(by.After(guess))
		if err != nil {
			return nil, err
		}
		if d := there.darker(v, opt); best == nil || e-d > edges-darker {
			best, edges, darker = there, e, d
		}
		if edges >= goodEdges && darker <= goodDarker {
			break
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	best, err := l.closer(best.at, true)
	if err != nil {
		return nil, err
	}
	if edges < leastEdges {
		return nil, &PairError{Fault: OtherLayout, Why: "no place was found where the edges in one photo lie on those in the other"}
	}
	if darker = best.darker(v, opt); darker > mostDarker {
		return nil, &PairError{Fault: OtherLayout, Why: fmt.Sprintf("the edges agree once one photo is laid over the other, but %.0f %% of the picture is darker on the lighter paper: these are other tiles", 100*darker)}
	}
	return best, nil
}

// layAgain lays the photo over another view of the same picture.
func (s *Second) layAgain(there *laidOver, v *view, face *plane, look func(*view) *plane, opt Options) (*laidOver, error) {
	l := s.reduced(v, face, opt)
	l.look = look
	back, _ := there.fromFull().Inverse()
	return l.closer(v.fromFull().After(back).After(there.at), false)
}

// closer goes from a place that is good to a pixel or two to the exact one. edges says
// that the edges shall be followed first.
func (l *overlaid) closer(h colormath.Homography, edges bool) (*laidOver, error) {
	first, textured := l.onto.grey(l.threads, asIs), true
	for round := range 4 {
		there, err := l.match(h)
		if err != nil {
			return nil, err
		}
		alike := there.alike(l.onto, l.panel, l.threads)
		by, ok := pair.Settle(l.onto.grey(l.threads, logged), there.grey(l.threads, logged), alike, l.threads)
		textured = ok
		if !ok && (edges || round == 0) {
			by, edges = pair.Follow(first, there.grey(l.threads, asIs), l.threads), false
		}
		small := moves(by, l.onto) <= .05
		if round > 0 && !small {
			by = half(by) // what is alike was chosen at the last place, and steps swing about the true one
		}
		h = by.After(h)
		if small {
			break
		}
	}
	there, err := l.match(h)
	if err == nil && !textured && l.look != nil && l.face != nil {
		if by := pair.Align(l.face.paired(), l.look(there.view).paired(), l.threads); moves(by, l.onto) > edgesMislead {
			there, err = l.match(by.After(h))
		}
	}
	if err == nil {
		there.expose(l.onto, there.alike(l.onto, l.panel, l.threads), 0, l.threads)
		there.tell(l.onto, l.panel, l.threads)
	}
	return there, err
}

// half is half the way of a small map.
func half(h colormath.Homography) colormath.Homography {
	k := h[8]
	for i, v := range [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1} {
		h[i] = (h[i]/k + v) / 2
	}
	return h
}

// edgesMislead is how far, in view px, the coverage of tiles may lie from where the edges
// laid the photos before it is the one to believe. Where faces are flat nothing else tells:
// coverage is good to two thirds of a px, edges are mostly better, but bevels that are lit
// on one side of every tile drew a drawn pair's apart by four px over the panel.
const edgesMislead = 1.2

// moves is how far a map moves the corners of a view at most, px.
func moves(by colormath.Homography, v *view) (most float64) {
	for _, c := range [4][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		x, y := c[0]*float64(v.w), c[1]*float64(v.h)
		u, w := by.Apply(x, y)
		most = max(most, math.Hypot(u-x, w-y))
	}
	return most
}

// match lays the photo at a place and brings it to the view's exposure.
func (l *overlaid) match(h colormath.Homography) (*laidOver, error) {
	second, err := l.over(h, l.threads)
	if err != nil {
		return nil, err
	}
	d := &laidOver{view: second, at: h, pxW: l.pxW, pxH: l.pxH, rough: l.rough, exposure: [3]float64{1, 1, 1}}
	var face *pair.Plane
	if l.face != nil {
		face = l.face.paired()
	}
	d.expose(l.onto, face, leastSay, l.threads)
	return d, nil
}

// leastSay is the weight of a place where the first idea sees no face: on painted plates
// it may be wrong about most of them.
const leastSay = 0.4

// expose brings the photo to the view's exposure, by the places that face marks.
func (d *laidOver) expose(first *view, face *pair.Plane, least float64, threads int) {
	pic := func(v *view) *colormath.Picture { return &colormath.Picture{W: v.w, H: v.h, Pix: v.lin} }
	e := pair.Match(pic(first), pic(d.view), face, least, threads)
	e.Apply(pic(d.view), threads)
	for c, k := range e.At(float64(d.w)/2, float64(d.h)/2) {
		d.exposure[c] *= k
	}
}

// roughRatios are ratios of luminances softened so far that a photo that lies a pixel off
// changes them little.
func (d *laidOver) roughRatios(threads int) *pair.Plane {
	return ratios(d.rough, softened(d.view, softRough, threads))
}

// softened is a view's luminance softened so many times.
func softened(v *view, passes, threads int) *pair.Plane {
	p := v.grey(threads, asIs)
	for range passes {
		p = p.Soft(threads)
	}
	return p
}

// ratios are the logarithms of a ÷ b.
func ratios(a, b *pair.Plane) *pair.Plane {
	out := pair.NewPlane(a.W, a.H)
	for i := range out.V {
		out.V[i] = float32(math.Log((max(float64(a.V[i]), 0) + floorLight) / (max(float64(b.V[i]), 0) + floorLight)))
	}
	return out
}

// floorLight holds down the noise of ratios in the dark, linear: about ten steps of
// eight bits there.
const floorLight = 0.003

// softRough is a Gaussian of two px.
const softRough = 8

// darker is the share of the panel that is clearly darker on the lighter paper.
func (d *laidOver) darker(first *view, opt Options) float64 {
	in := first.within(opt.Panel)
	more, less, all := 0., 0., 0.
	for i, z := range d.roughRatios(opt.Threads).V {
		if in != nil && !in[i] {
			continue
		}
		all++
		switch {
		case z > clearChange:
			more++
		case z < -clearChange:
			less++
		}
	}
	return min(more, less) / max(all, 1)
}

// within marks the panel's pixels; nil when it isn't given.
func (v *view) within(q *Quad) []bool {
	if q == nil {
		return nil
	}
	pts := make([]Point, len(q))
	for i, p := range q {
		pts[i].X, pts[i].Y = v.toView(p.X, p.Y)
	}
	return filled(v.w, v.h, pts)
}

// clearOfChange is how far from what changed a place is free of the light that paper
// throws on bevels, px; softened ratios have a rim of two or three more.
const clearOfChange = 2

// alike marks what both photos show with tone and alike, clear of what the paper
// changes. What lies beside the panel lies lower, and is asked only where no panel is
// given.
func (d *laidOver) alike(first *view, panel *Quad, threads int) *pair.Plane {
	z, in := d.roughRatios(threads), first.within(panel)
	far, _ := distances(d.w, d.h, func(i int) bool { return math.Abs(float64(z.V[i])) > clearChange/2 })
	p := pair.NewPlane(d.w, d.h)
	colormath.Rows(d.h, threads, func(y0, y1 int) {
		for i := y0 * d.w; i < y1*d.w; i++ {
			if (in == nil || in[i]) && far[i] > clearOfChange && toned(first.lin[3*i:]) && toned(d.lin[3*i:]) {
				p.V[i] = 1
			}
		}
	})
	return p
}

// burnt is where a channel may stand at the photo's white, linear: 8-bit 251.
const burnt = 0.96

func toned(p []float32) bool { return max(p[0], p[1], p[2]) < burnt }
