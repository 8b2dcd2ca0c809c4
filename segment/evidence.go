package segment

import (
	"context"
	"math"

	"gapshade/colormath"
)

// evidence is what the network says about one view.
type evidence struct {
	*view
	tile *plane // tile coverage, 0 (gap) … 1 (tile)
	own  *plane // the same before the picture taught the network; nil before that
	bare *plane // the same before strokes taught it; nil until the map is made
	lay  *layout
	bed  *openBed // how open bed looks; nil when it isn't known
	told bool     // the network was told of it

	pattern bool // pieces are of many colours, and the network was told so

	middle  int          // area of the middle tile, view px²
	lean    Point        // how far the tiles are drawn towards the lamp, view px; see lampLean
	settled *shift       // how far the network's edges lie from the photo's own
	painted []Shows      // what strokes say of each pixel, 0 for nothing; nil without strokes
	pair    *PairReading // what a second photo told; nil without one
	through *plane       // share of the bed's light that passes tiles; nil when none does
}

// look runs the network on the window at one scale, told of pattern and the bed where pieces
// carry any,
// and reads the layout off.
func (f *Finder) look(pic *colormath.Picture, win window, scale float64, bed *openBed, pattern bool, opt Options) *evidence {
	v := newView(pic, win, scale, opt.Threads)
	ev := &evidence{view: v, bed: bed.on(v), told: pattern && bed != nil, pattern: pattern}
	c := clues{pattern: pattern}
	if ev.told {
		c.bed = ev.bed
	}
	ev.tile = f.tiles(v, c, opt.Threads)
	ev.lay = readLayout(ev, opt)
	if ev.bed == nil && !opt.noBed {
		ev.bed = ev.bedOf(opt.Bed)
		if ev.bed != nil && ev.lay.score < scoreGood {
			ev.lay = readLayout(ev, opt) // joints between patterned pieces pass as bed
		}
	}
	return ev
}

// The network sees best where a gap is 4 to 8 view px wide (measured on drawn
// layouts); wantGap aims at the middle. Pattern is finer than the joints, and wants them
// wider (path-traced painted plates: .61 of its edges sure at a gap of 9 px, .72 at 11).
const (
	wantGap     = 8.0
	wantPattern = 11.0
)

// coarseSides are the first looks, as the window's longer side in view px. The
// first serves most photos; a layout of very small or very large pieces shows
// in another.
var coarseSides = [...]float64{800, 1800, 450}

// maxViewPx bounds the work of one look; dearViewPx that of a closer one at fine joints.
const (
	maxViewPx  = 1.6e6
	dearViewPx = 2.8e6
)

// evidence looks coarsely, reads the gap width and the bed's colour off, and looks
// again at the scale that suits the gaps, told of the bed.
func (f *Finder) evidence(ctx context.Context, pic *colormath.Picture, win window, opt Options) (*evidence, error) {
	best, err := f.firstLook(ctx, pic, win, opt)
	if err != nil || best.lay.score < scoreFloor/2 {
		return best, err // nothing there to look at more closely
	}
	for range closerLooks {
		pattern, want := best.pattern || best.patterned() >= muchPattern, wantGap
		if pattern {
			want = wantPattern
		}
		scale := closer(best.scale*want/max(best.lay.gap, 1), win)
		near := math.Abs(math.Log(scale/best.scale)) < math.Log(1.25)
		if near {
			scale = best.scale
		}
		if near && pattern == best.pattern {
			break // nothing new to see
		}
		ev := f.look(pic, win, scale, best.bed, pattern, opt)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if !ev.betterThan(best) {
			break
		}
		best = ev
	}
	return best, nil
}

// muchPattern is the share of pieces of many colours from which the network is told that
// faces carry pattern, and what the bed looks like. It tells painted pieces from joints by
// that; beside plain ones it would lean on the bed's colour where a side wall or a bevel
// has another (path-traced plain layouts: IoU .923 told of nothing, .920 told of the bed;
// painted plates .781 and .795).
const muchPattern = 0.2

// closerLooks is how often the scale may be set anew: what is seen at a better scale
// can ask for a still better one.
const closerLooks = 2

// betterThan says whether a closer look is the one to believe: by how the joints hang
// together, how many pieces there are, and how sure the network is. Sizes and shares of
// gaps don't count here, because a coarse look sees fine joints too thin. A closer look is
// less sure of its edges, since soft ones cover more px there; where it finds more pieces,
// that alone doesn't count against it, and little where it was told of pattern.
func (ev *evidence) betterThan(coarse *evidence) bool {
	least := .9
	switch {
	case float64(ev.lay.tiles) > 1.1*float64(coarse.lay.tiles):
		least = .6
	case ev.pattern && !coarse.pattern:
		least = .8
	}
	seen := func(t terms) float64 { return t.net * t.count * t.sure * t.own }
	return ev.lay.score >= scoreFloor && seen(ev.lay.terms) >= least*seen(coarse.lay.terms) ||
		ev.lay.score >= least*coarse.lay.score
}

// firstLook is the best of a few coarse ones.
func (f *Finder) firstLook(ctx context.Context, pic *colormath.Picture, win window, opt Options) (best *evidence, err error) {
	for _, scale := range coarseScales(win, opt) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		ev := f.look(pic, win, scale, nil, false, opt)
		if best == nil || ev.lay.score > best.lay.score {
			best = ev
		}
		if best.lay.score >= scoreGood {
			break
		}
	}
	return best, ctx.Err()
}

// usualFill is the panel's share of a photo, near enough for a first look.
const usualFill = 0.7

// coarseScales turns the first looks into scales; a gap hint replaces them.
func coarseScales(win window, opt Options) []float64 {
	if opt.GapPx > 0 {
		return []float64{bounded(wantGap/opt.GapPx, win)}
	}
	if opt.GapMm > 0 && opt.PanelMm2 > 0 {
		pxPerMm := math.Sqrt(usualFill * float64(win.w*win.h) / opt.PanelMm2)
		return []float64{bounded(wantGap/(opt.GapMm*pxPerMm), win)}
	}
	long := float64(max(win.w, win.h))
	var out []float64
	for _, side := range coarseSides {
		s := bounded(side/long, win)
		if len(out) == 0 || math.Abs(s/out[len(out)-1]-1) > 0.2 {
			out = append(out, s)
		}
	}
	return out
}

// closer is bounded for a closer look: where joints are so fine that it would fall short of
// its aim by a quarter, it may cost more.
func closer(scale float64, win window) float64 {
	most := maxViewPx
	if scale*scale*float64(win.w*win.h) > dearViewPx {
		most = dearViewPx
	}
	return min(scale, 2, math.Sqrt(most/float64(win.w*win.h)))
}

// bounded keeps a scale within what the picture holds (twice enlarged at most)
// and what one look may cost.
func bounded(scale float64, win window) float64 {
	return min(scale, 2, math.Sqrt(maxViewPx/float64(win.w*win.h)))
}
