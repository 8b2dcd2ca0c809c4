package segment

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/segment/pair"
)

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
	o.reading.Paper = o.papers(ev)
	o.reading.Contrast = math.Tanh(math.Abs(o.gapChange(ev)) / 2) // of a logarithm's ratio
	if o.reading.Contrast < leastContrast {
		return &PairError{SamePaper, fmt.Sprintf("what shows in the gaps differs by %.0f %% only", 100*(math.Exp(math.Abs(o.gapChange(ev)))-1))}
	}
	return nil
}

// papers compares the papers where the gaps are lit best: the half of their pixels that
// is brighter on the lighter paper. In the shadow of tiles a paper lights itself.
func (o *overlay) papers(ev *evidence) (ratio [3]float64) {
	lighter := ev.view
	if o.reading.Lighter {
		lighter = o.view
	}
	var lit []int
	for i, in := range ev.lay.panel {
		if in && o.tiles.outside[i] > gapClear {
			lit = append(lit, i)
		}
	}
	slices.SortStableFunc(lit, func(i, j int) int { return cmp.Compare(lighter.luminance(j), lighter.luminance(i)) })
	lit = lit[:(len(lit)+1)/2]
	for c := range ratio {
		var first, second float64
		for _, i := range lit {
			first += float64(ev.lin[3*i+c])
			second += float64(o.lin[3*i+c])
		}
		ratio[c] = max(second, 1e-9) / max(first, 1e-9)
	}
	return ratio
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
