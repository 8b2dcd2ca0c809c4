package grout

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapshade/colormath"
)

// Blend is two powders mixed dry by weight.
type Blend struct {
	A, B Shade
	// Strength is what a dried sample has told (Calibrate); 0 = nothing is known.
	Strength float64
}

// Mix is what a blend is predicted to look like, cured and dry.
type Mix struct {
	Share float64       // of B by weight of powder, 0…1
	Lab   colormath.Lab // D50, by Kubelka and Munk with one constant per band
	// PlainL is L* as if light just averaged. Pigments scatter less than cement,
	// so the truth lies between Lab.L and this; equal to Lab.L once calibrated.
	PlainL float64
}

// At predicts the blend with a share of B, 0…1 (clipped).
func (b Blend) At(share float64) Mix {
	m := Mix{Share: min(max(share, 0), 1)}
	m.Lab = b.model().At(m.Share).Lab()
	if m.PlainL = m.Lab.L; b.Strength == 0 {
		x, y := b.A.Lab.LinearRGB(), b.B.Lab.LinearRGB()
		mean := func(p, q float64) float64 { return p + m.Share*(q-p) }
		m.PlainL = colormath.LinearRGB{R: mean(x.R, y.R), G: mean(x.G, y.G), B: mean(x.B, y.B)}.Lab().L
	}
	return m
}

// For gives the blend of a lightness, L*; ok is false where the two don't reach it.
func (b Blend) For(l float64) (m Mix, ok bool) {
	share, ok := b.model().ShareFor(l)
	return b.At(share), ok
}

// Calibrate returns the same blend with the strength at which the share of B has
// the lightness of a dried sample; ok is false where no strength gives it.
func (b Blend) Calibrate(share, seen float64) (Blend, bool) {
	m, ok := b.model().Calibrated(share, seen)
	return Blend{b.A, b.B, m.Strength}, ok
}

func (b Blend) model() colormath.Blend {
	return colormath.Blend{A: b.A.Lab.LinearRGB(), B: b.B.Lab.LinearRGB(), Strength: b.Strength}
}

// ParseParts reads parts by weight, 2:1 or 1.5:1, as the share of the second.
func ParseParts(s string) (share float64, err error) {
	first, second, ok := strings.Cut(s, ":")
	a, errA := strconv.ParseFloat(strings.TrimSpace(first), 64)
	b, errB := strconv.ParseFloat(strings.TrimSpace(second), 64)
	sum := a + b
	if !ok || errA != nil || errB != nil || !(a >= 0 && b >= 0 && sum > 0) || math.IsInf(sum, 0) {
		return 0, fmt.Errorf("%q is no ratio of parts, such as 2:1", s)
	}
	return b / sum, nil
}

// Named finds a shade by its id, in the person's own shades first and then among
// the built-in ones, or makes one of a colour like #a1a09c.
func Named(name string, own []Shade) (Shade, error) {
	name = strings.TrimSpace(name)
	if c, err := colormath.ParseHex(name); err == nil {
		return New(strings.TrimPrefix(strings.ToLower(name), "#"), c.Lab())
	}
	all := append(append([]Shade{}, own...), Palette()...)
	s, ok := find(all, name)
	if !ok {
		return Shade{}, fmt.Errorf("no shade is called %q; there are %s", name, names(all))
	}
	return s, nil
}
