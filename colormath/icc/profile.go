package icc

import (
	"math"

	"gapshade/colormath"
)

// Profile takes code values of one colour space to linear light on sRGB
// primaries. Use it read-only; a nil Profile is sRGB.
type Profile struct {
	// Name is what a person reads, such as "Display P3".
	Name string

	// Grey tells that the profile describes one channel; the three channels
	// of a colour are then expected to be equal.
	Grey bool

	curves [3]curve
	matrix colormath.Matrix // linear light of this space to linear sRGB
	plain  bool             // agrees with sRGB to within a third of an 8-bit step
}

// SRGB tells whether the profile is sRGB (nil), or so near to it that 8-bit
// code values may be used as they are.
func (p *Profile) SRGB() bool { return p == nil || p.plain }

// Title is the name for a report: "sRGB" for nil.
func (p *Profile) Title() string {
	if p == nil {
		return "sRGB"
	}
	return p.Name
}

// Linear takes code values 0…1 (clamped) to linear light, unclipped.
func (p *Profile) Linear(r, g, b float64) colormath.LinearRGB {
	if p == nil {
		c := srgbCurve()
		return colormath.LinearRGB{R: c.at(r), G: c.at(g), B: c.at(b)}
	}
	r, g, b = p.matrix.Apply(p.curves[0].at(r), p.curves[1].at(g), p.curves[2].at(b))
	return colormath.LinearRGB{R: r, G: g, B: b}
}

// Curves gives the three tone curves as tables over steps+1 evenly spaced
// codes, 0…steps: 255 for 8-bit photos, 65535 for 16-bit ones.
func (p *Profile) Curves(steps int) *[3][]float32 {
	cs := [3]curve{srgbCurve(), srgbCurve(), srgbCurve()}
	if p != nil {
		cs = p.curves
	}
	var out [3][]float32
	for c := range out {
		out[c] = make([]float32, steps+1)
		for i := range out[c] {
			out[c][i] = float32(cs[c].at(float64(i) / float64(steps)))
		}
	}
	return &out
}

// Matrix takes the output of Curves to linear sRGB, row by row; the identity
// for nil and for profiles that count as sRGB.
func (p *Profile) Matrix() [9]float32 {
	m := identity
	if p != nil && !p.plain {
		m = p.matrix
	}
	var out [9]float32
	for i := range out {
		out[i] = float32(m[i/3][i%3])
	}
	return out
}

// identity leaves sRGB, and the neutral axis of grey pictures, as it is.
var identity = colormath.Diagonal(1, 1, 1)

// settle checks curves and matrix, and fills what follows from them.
func (p *Profile) settle() (*Profile, error) {
	for i := range 9 {
		// Real spaces stay below 4 here; a matrix beyond that is noise.
		if wild(p.matrix[i/3][i%3]) {
			return nil, broken("its primaries make no sense")
		}
	}
	for _, c := range p.curves {
		for i := range 17 {
			if wild(c.at(float64(i) / 16)) {
				return nil, broken("a tone curve leaves every bound")
			}
		}
	}
	p.plain = p.nearSRGB()
	return p, nil
}

func wild(v float64) bool { return math.IsNaN(v) || math.Abs(v) > 100 }

// nearSRGB compares with sRGB in encoded steps, along the greys and two lines
// across the colours. The limit of a third of an 8-bit step means that
// rounding could not tell the two apart; profiles that call themselves sRGB
// differ by less, through their 16-bit numbers.
func (p *Profile) nearSRGB() bool {
	var none *Profile
	near := func(r, g, b float64) bool {
		x, y := p.Linear(r, g, b), none.Linear(r, g, b)
		return nearCode(x.R, y.R) && nearCode(x.G, y.G) && nearCode(x.B, y.B)
	}
	for i := range 256 {
		x := float64(i) / 255
		if !near(x, x, x) || !near(x, 1-x, 0.5) || !near(0.5, x, 1-x) {
			return false
		}
	}
	return true
}

func nearCode(a, b float64) bool {
	return math.Abs(colormath.EncodeSRGB(a)-colormath.EncodeSRGB(b)) <= 1.0/3/255
}
