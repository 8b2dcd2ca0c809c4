package light

import (
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/segment"
)

// Reading is the light of one photo and what the bed looks like in it.
type Reading struct {
	Field      *Field
	Bed        colormath.LinearRGB // the bed as photographed where it is well lit
	Known      bool                // the bed's own colour was given, so the field is absolute
	Unevenness float64             // (brightest − darkest) ÷ mean luminance over the panel
	Cast       [3]float64          // R, G, B of the light over their mean; 1, 1, 1 when not known
	Samples    int                 // bed pixels used
}

// Measure reads the light from the bed pixels. bed is the bed's own colour as
// linear reflectance; nil when it is not known: then the field keeps the
// photo's own exposure (a perfect white is the photo's white on average) and
// only its shape is taken from the bed. It never assumes that the bed is white.
func Measure(pic *colormath.Picture, m *segment.Map, bed *colormath.LinearRGB, threads int) Reading {
	f := &Field{}
	lo, hi := box(m.Panel)
	f.x0, f.y0 = (lo.X+hi.X)/2, (lo.Y+hi.Y)/2
	f.sx, f.sy = 2/max(hi.X-lo.X, 1), 2/max(hi.Y-lo.Y, 1)
	gaps := gather(pic, m, f, threads)
	if len(gaps) < 60 {
		return Reading{Field: Even(colormath.LinearRGB{R: 1, G: 1, B: 1}), Cast: [3]float64{1, 1, 1}}
	}
	shape, colour := read(gaps, around(pic, m, f, threads), tileLight(pic, m, f, threads))
	f.coef = shape
	for c, off := range colour {
		f.colour[c] = math.Exp(off)
	}
	r := Reading{Field: f, Samples: len(gaps), Bed: f.At(f.x0, f.y0), Cast: [3]float64{1, 1, 1}}
	r.Unevenness = unevenness(f)
	if bed == nil {
		mean := meanLight(f)
		f.scaled(1/mean.R, 1/mean.G, 1/mean.B)
		return r
	}
	f.scaled(1/(bed.R+haze), 1/(bed.G+haze), 1/(bed.B+haze))
	f.steady(bed.Luminance())
	r.Known = true
	e := f.At(f.x0, f.y0)
	s := (e.R + e.G + e.B) / 3
	r.Cast = [3]float64{e.R / s, e.G / s, e.B / s}
	return r
}

// How well a bed tells the level of the light. Haze in the lens and a sheen on the
// paper add some three thousandths of white, give or take as much, to whatever is
// seen: nothing on white paper, a fifth of all on black. On the other hand a photo's
// exposure is seldom off by more than a quarter (all ours). The level is the mean of
// the two, in logarithms, weighted by their variances.
const (
	haze     = 0.003
	exposure = 0.25
)

// steady draws the level of the light towards the photo's own exposure as far as
// a bed of the given luminance is too dark to tell it.
func (f *Field) steady(bed float64) {
	mean := meanLight(f)
	k := math.Pow(mean.Luminance(), trust(bed)-1)
	f.scaled(k, k, k)
}

// trust is the weight of the bed's word on the level, 0…1, against the exposure's.
func trust(bed float64) float64 {
	unsure := haze / max(bed, 1e-3)
	return exposure * exposure / (exposure*exposure + unsure*unsure)
}

func box(q segment.Quad) (lo, hi segment.Point) {
	lo, hi = q[0], q[0]
	for _, p := range q[1:] {
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	return lo, hi
}

// What part of a cell's bed pixels stands for the light. A pale bed at the
// bottom of a gap is mostly in shadow, and the brightest tenth is what light
// reaches; a bed darker than its tiles is lit up by their side walls, and the
// middle is safer. Bed beside the panel lies open; but the nearer half of it sees
// less of the sky past the outermost tiles, and the middle of all of it would read
// the light too low, so a little more than the middle is taken.
const (
	litInPale = 0.88
	litInDark = 0.5
	litBeside = 0.65
)

// read fits the light: first to the gaps alone; then bed beside the panel, where
// some goes with it, takes over, because nothing stands over it or shines on it.
func read(gaps, beside []sample, tileLight float64) (shape [6]float64, colour [3]float64) {
	q := litInPale
	if middle(gaps) < tileLight {
		q = litInDark
	}
	inner := nodes(gaps, q, 1)
	shape = fit(inner)
	colour = colourOf(gaps, shape, -.15, 9)
	for range 2 {
		kin := slices.DeleteFunc(slices.Clone(beside), func(s sample) bool { return !goesWith(&s, shape, colour) })
		if len(kin) < 200 {
			break
		}
		open := nodes(kin, litBeside, 1)
		if spread(open) < openSpread {
			break // one side of the panel only: no surface can stand on that
		}
		for i := range inner {
			inner[i].weight = besideInner
		}
		shape = fit(append(open, inner...))
		colour = colourOf(kin, shape, -.12, .4)
	}
	return shape, colour
}

// besideInner is what a cell of gaps still counts where open bed was found.
const besideInner = 0.1

// openSpread is the least standard deviation, in both directions, of the cells
// of open bed; a whole frame of them has about 0.8, one side 0.
const openSpread = 0.4

// spread is the smaller of the standard deviations of the nodes in x and y.
func spread(ns []node) float64 {
	var n, sx, sy, sxx, syy float64
	for _, p := range ns {
		n, sx, sy, sxx, syy = n+1, sx+p.x, sy+p.y, sxx+p.x*p.x, syy+p.y*p.y
	}
	if n == 0 {
		return 0
	}
	return math.Sqrt(max(0, min(sxx/n-sx/n*sx/n, syy/n-sy/n*sy/n)))
}

// middle is the median of the mean log light.
func middle(samples []sample) float64 {
	v := make([]float64, len(samples))
	for i := range samples {
		v[i] = samples[i].mean()
	}
	return colormath.QuantileIn(v, .5)
}

// goesWith tells bed beside the panel from table: within a factor of 2 of the
// light expected there, and of the bed's colour.
func goesWith(s *sample, shape [6]float64, colour [3]float64) bool {
	z := s.mean()
	if math.Abs(z-value(shape, s.x, s.y)) > .7 {
		return false
	}
	for c := range colour {
		if math.Abs(s.log[c]-z-colour[c]) > .25 {
			return false
		}
	}
	return true
}

// colourOf is the middle colour of the samples whose light lies between lo and
// hi (log) over the surface, as log offsets of the channels from their mean.
func colourOf(samples []sample, shape [6]float64, lo, hi float64) [3]float64 {
	var off [3][]float64
	for i := range samples {
		s := &samples[i]
		z := s.mean()
		if d := z - value(shape, s.x, s.y); d > lo && d < hi && !s.clipped {
			for c := range off {
				off[c] = append(off[c], s.log[c]-z)
			}
		}
	}
	var out [3]float64
	for c := range off {
		if len(off[c]) > 0 {
			out[c] = colormath.QuantileIn(off[c], .5)
		}
	}
	return out
}

// grid calls visit for 9 × 9 places spread over the panel's box.
func (f *Field) grid(visit func(colormath.LinearRGB)) {
	for j := -4; j <= 4; j++ {
		for i := -4; i <= 4; i++ {
			visit(f.At(f.x0+float64(i)/4/f.sx, f.y0+float64(j)/4/f.sy))
		}
	}
}

func meanLight(f *Field) colormath.LinearRGB {
	var m colormath.LinearRGB
	f.grid(func(c colormath.LinearRGB) { m.R, m.G, m.B = m.R+c.R/81, m.G+c.G/81, m.B+c.B/81 })
	return m
}

func unevenness(f *Field) float64 {
	lo, hi, sum := math.Inf(1), 0.0, 0.0
	f.grid(func(c colormath.LinearRGB) {
		y := c.Luminance()
		lo, hi, sum = min(lo, y), max(hi, y), sum+y/81
	})
	return (hi - lo) / sum
}
