package contrast

import (
	"math"

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

// How finely a plane is sampled: at colormath.FineRate lines however thin come out
// right; coarser will do where the middle joint is jointCells wide. A photo coarser
// than both is enlarged, as far as mostEnlarged.
const (
	jointCells   = 4.0
	mostEnlarged = 3
)

// From gives the views from some distances, metres. mmPerPx is the frame's scale
// and above 0. Outside the panel its own mean goes on: what it will hang on is not
// known, and bare paper would make the outer tiles seem darker.
func (p *Panel) From(distances []float64, mmPerPx float64, threads int) []View {
	var views []View
	if p.scheme == nil {
		return nil
	}
	tiles := p.scheme.planes(p, threads)
	for _, d := range distances {
		v := View{DistanceM: d, p: p, core: make([]mixture, len(p.Lab)), outline: make([]mixture, len(p.Lab))}
		v.look(tiles, colormath.SamplesPerDegree(d, mmPerPx*float64(p.scheme.side)), threads)
		views = append(views, v)
	}
	return views
}

// sizeFor is by how much the scheme's cells are to be multiplied along each side
// for one plane of a view; rate is samples per degree and gap the middle joint,
// both of the scheme.
func sizeFor(plane int, rate, gap float64) float64 {
	size := colormath.FineRate(plane) / rate
	if coarse := jointCells / gap; coarse < size { // NaN and Inf are not
		size = coarse
	}
	return size
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
func (v *View) look(tiles [3]colormath.Plane, rate float64, threads int) {
	s := v.p.scheme
	for k, tile := range tiles {
		size := sizeFor(k, rate, v.p.Map.GapWidthPx.P50/float64(s.side))
		r := reader{}
		r.tile, r.joint = s.seen(k, tile, size, rate, threads), s.seen(k, s.joint, size, rate, threads)
		r.fx, r.fy = float64(r.tile.W)/float64(s.w), float64(r.tile.H)/float64(s.h)
		v.readCores(k, &r)
		v.readOutlines(k, &r)
	}
}

// seen filters a plane of the scheme at another size.
func (s *scheme) seen(k int, p colormath.Plane, size, rate float64, threads int) colormath.Plane {
	pixel := 1.0 // side of the area that a pixel is the mean of
	switch {
	case size < 1:
		p = p.Reduced(int(math.Ceil(size*float64(s.w))), int(math.Ceil(size*float64(s.h))), threads)
	case size > 1.2:
		f := min(int(math.Ceil(size)), mostEnlarged)
		p, pixel = p.Enlarged(f), float64(f)
	}
	rate *= math.Sqrt(float64(p.W*p.H) / float64(s.w*s.h))
	return p.Seen(k, rate, pixel*pixel*colormath.MeanPixels+colormath.ReadBetween, threads)
}

// reader reads what tile and joint add, in one plane, at places of the scheme.
type reader struct {
	tile, joint colormath.Plane
	fx, fy      float64 // cells of the planes per cell of the scheme
}

func (r *reader) mean(at []place) (tile, joint float64) {
	n := float64(len(at))
	for _, c := range at {
		x, y := (float64(c.x)+.5)*r.fx-.5, (float64(c.y)+.5)*r.fy-.5
		tile, joint = tile+r.tile.At(x, y)/n, joint+r.joint.At(x, y)/n
	}
	return tile, joint
}

func (v *View) readCores(k int, r *reader) {
	for i, at := range v.p.scheme.cores {
		c := &v.core[i]
		if len(at) > 0 {
			c.tile[k], c.joint[k] = r.mean(at)
		} else {
			c.tile[k] = v.p.Lab[i].LinearRGB().Opponent()[k] // smaller than a cell; taken at its own colour
		}
	}
}

// readOutlines takes the mean over a tile's borders by their length.
func (v *View) readOutlines(k int, r *reader) {
	length := make([]float64, len(v.outline))
	for b, border := range v.p.Map.Borders {
		at := thinned(v.p.scheme.across[b], perBorder)
		if len(at) == 0 {
			continue
		}
		tile, joint := r.mean(at)
		for _, i := range [2]int{border.A - 1, border.B - 1} {
			l, o := float64(border.Length), &v.outline[i]
			length[i] += l
			o.tile[k], o.joint[k] = o.tile[k]+l*tile, o.joint[k]+l*joint
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
