package contrast

import (
	"context"

	"gapshade/colormath"
)

// View is the panel as an average eye sees it from a distance, for joints of any
// shade: S-CIELAB (colormath.Seen) of the scheme, kept as what tile and joint
// each add to the light at the places that are compared. In the published opponent
// space a grey is not quite without colour, and so a grey joint on a grey tile
// takes on a little as it fades; that is the method's, and is left as it is.
type View struct {
	DistanceM float64
	p         *Panel
	core      []mixture // per tile: its core
	outline   []mixture // per tile: the middle of the joint on its outline
}

// mixture is light that a joint of any shade makes: in each opponent plane, tile
// + joint · shade.
type mixture struct{ tile, joint colormath.Opponent }

func (m *mixture) under(shade colormath.Opponent) colormath.Lab {
	o := m.tile
	for k := range o {
		o[k] += m.joint[k] * shade[k]
	}
	return o.LinearRGB().Lab()
}

// Seen is what is left of one shade's contrast at a distance.
type Seen struct {
	DistanceM float64
	HyAB      colormath.Spread // joint on the outline against core, over tiles
	Merging                    // by the same limits, in the colours seen
}

// A photo in which the joint is narrower than thinJoint px is cut into finer pixels
// before the eye looks at it.
const (
	thinJoint = 4.0
	mostFiner = 3
)

// From gives the views from some distances, metres. mmPerPx is the frame's scale
// and above 0. Outside the panel its own mean goes on: what it will hang on is not
// known, and bare paper would make the outer tiles seem darker. When ctx ends it soon
// gives what it has.
func (p *Panel) From(ctx context.Context, distances []float64, mmPerPx float64, threads int) []View {
	var views []View
	if p.scheme == nil {
		return nil
	}
	p.scheme.findCores(len(p.Map.Tiles))
	tiles := p.scheme.planes(p, threads)
	for _, d := range distances {
		v := View{DistanceM: d, p: p, core: make([]mixture, len(p.Lab)), outline: make([]mixture, len(p.Lab))}
		v.look(ctx, tiles, colormath.SamplesPerDegree(d, mmPerPx*float64(p.scheme.side)), threads)
		if ctx.Err() != nil {
			break
		}
		views = append(views, v)
	}
	return views
}

// planes are the tiles alone in the three opponent planes: every cell has its
// tile's colour in the share that is not joint.
func (s *scheme) planes(p *Panel, threads int) [3]colormath.Plane {
	colour := make([]colormath.Opponent, len(p.Lab)+1)
	mean := p.own.Opponent()
	for i := range p.Lab {
		if colour[i+1] = mean; !p.Burnt[i] {
			colour[i+1] = p.Lab[i].LinearRGB().Opponent()
		}
	}
	var out [3]colormath.Plane
	for k := range out {
		out[k] = colormath.NewPlane(s.w, s.h)
		colormath.Rows(s.h, threads, func(a, b int) {
			for i := a * s.w; i < b*s.w; i++ {
				c := colour[s.near[i]][k]
				if s.out[i] || s.near[i] == 0 {
					c = mean[k]
				}
				out[k].V[i] = float32(c) * (1 - s.joint.V[i])
			}
		})
	}
	return out
}

// look filters the planes, at rate samples per degree, and reads them at the
// places.
func (v *View) look(ctx context.Context, tiles [3]colormath.Plane, rate float64, threads int) {
	s, finer := v.p.scheme, 1
	if s.side == 1 && v.p.Map.GapWidthPx.P50 < thinJoint {
		finer = mostFiner
	}
	for k, tile := range tiles {
		r := reader{tile: tile.Glimpse(k, rate, finer, threads)}
		if ctx.Err() != nil {
			return
		}
		r.joint = s.joint.Glimpse(k, rate, finer, threads)
		v.readCores(k, &r, threads)
		v.readOutlines(k, &r, threads)
	}
}

// reader reads what tile and joint add, in one plane, at places of the scheme.
type reader struct{ tile, joint colormath.Glimpse }

func (r *reader) mean(at []place) (tile, joint float64) {
	n := float64(len(at))
	for _, c := range at {
		x, y := float64(c.x), float64(c.y)
		tile, joint = tile+r.tile.At(x, y)/n, joint+r.joint.At(x, y)/n
	}
	return tile, joint
}

func (v *View) readCores(k int, r *reader, threads int) {
	colormath.Rows(len(v.core), threads, func(a, b int) {
		for i := a; i < b; i++ {
			c := &v.core[i]
			if at := v.p.scheme.cores[i]; len(at) > 0 {
				c.tile[k], c.joint[k] = r.mean(at)
			} else {
				c.tile[k] = v.p.Lab[i].LinearRGB().Opponent()[k] // smaller than a cell; taken at its own colour
			}
		}
	})
}

// readOutlines takes the mean over a tile's borders by their length.
func (v *View) readOutlines(k int, r *reader, threads int) {
	borders := v.p.Map.Borders
	seen := make([]struct{ tile, joint float64 }, len(borders))
	colormath.Rows(len(borders), threads, func(a, b int) {
		for i := a; i < b; i++ {
			seen[i].tile, seen[i].joint = r.mean(v.p.scheme.across[i])
		}
	})
	length := make([]float64, len(v.outline))
	for b, border := range borders {
		if len(v.p.scheme.across[b]) == 0 {
			continue
		}
		for _, i := range [2]int{border.A - 1, border.B - 1} {
			l, o := float64(border.Length), &v.outline[i]
			length[i] += l
			o.tile[k], o.joint[k] = o.tile[k]+l*seen[b].tile, o.joint[k]+l*seen[b].joint
		}
	}
	for i, l := range length {
		o := &v.outline[i]
		if l > 0 {
			o.tile[k], o.joint[k] = o.tile[k]/l, o.joint[k]/l
		} else {
			o.joint[k] = 1 // no neighbour: the joint beside it lies open and is seen as it is
		}
	}
}

// Measure says what is left of a shade from there.
func (v *View) Measure(shade colormath.Lab) Seen {
	o := shade.LinearRGB().Opponent()
	core, loses, hyab := make([]colormath.Lab, len(v.core)), make([]bool, len(v.core)), make([]float64, 0, len(v.core))
	for i := range v.core {
		core[i] = v.core[i].under(o)
		joint := v.outline[i].under(o)
		if !v.p.Burnt[i] {
			loses[i] = near(joint, core[i])
			hyab = append(hyab, colormath.HyAB(joint, core[i]))
		}
	}
	s := Seen{DistanceM: v.DistanceM, HyAB: colormath.SpreadOf(hyab)}
	s.Merging, _ = v.p.merge(func(i int) bool { return loses[i] }, core)
	return s
}
