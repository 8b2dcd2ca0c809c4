package colormath

import "math"

// Mixing two dry grouts by weight of powder, after Kubelka and Munk (Z. tech.
// Phys. 12, 593, 1931): what adds up is not reflectance but absorption over
// scattering. The dark one wins: half and half of L* 92 and L* 25 is L* 34,
// where plain averaging of light would say 71.
//
// The single-constant form on three linear bands is used (review: Berns and
// Mohammadi, Color Res. Appl. 32, 201, 2007). Gloss at the surface (Saunderson
// 1942) is left out because grout is matt. It is an estimate: a spoonful of
// the real mixture, dried, tells more, and [Blend] can be calibrated on it.

// Reflectances outside these bounds are moved to them before K/S is taken:
// K/S runs to infinity at 0 and the ratio loses its meaning near 1. No cement
// lies outside.
const (
	leastReflectance = 0.005
	mostReflectance  = 0.98
)

// KubelkaMunk is K/S, absorption over scattering, of an opaque layer that
// reflects r: (1 − r)²/2r (Kubelka and Munk 1931). r is taken within .005….98.
func KubelkaMunk(r float64) float64 {
	r = max(leastReflectance, min(r, mostReflectance))
	return (1 - r) * (1 - r) / (2 * r)
}

// KubelkaMunkInverse is the reflectance of an opaque layer with the given K/S,
// 0 or more: 1 + k − √(k² + 2k), written as the equal 1/(1 + k + √(k² + 2k)),
// which does not cancel for dark layers.
func KubelkaMunkInverse(ks float64) float64 {
	return 1 / (1 + ks + math.Sqrt(ks*ks+2*ks))
}

// Blend is a mixture of two grouts.
type Blend struct {
	A, B LinearRGB // the dry, cured colours, linear, inside sRGB

	// Strength is how much one gram of B scatters against one gram of A. 0 is
	// read as 1, the single-constant assumption. Black pigment scatters less
	// than white cement, so the truth for a dark B lies below 1; see
	// [Blend.Calibrated]. It weights the share of B, K/S = Σ c·s·(K/S) / Σ c·s,
	// and is not a factor on the K/S of B alone, which would leave pure B with
	// a colour that is not B's.
	Strength float64
}

// At returns the colour with the given share of B by weight of powder, 0…1
// (clipped). The ends are A and B exactly.
func (m Blend) At(share float64) LinearRGB {
	switch {
	case share <= 0:
		return m.A
	case share >= 1:
		return m.B
	}
	w := share
	if m.Strength > 0 {
		w = share * m.Strength / (1 - share + share*m.Strength)
	}
	band := func(a, b float64) float64 {
		return KubelkaMunkInverse((1-w)*KubelkaMunk(a) + w*KubelkaMunk(b))
	}
	return LinearRGB{band(m.A.R, m.B.R), band(m.A.G, m.B.G), band(m.A.B, m.B.B)}
}

// ShareFor returns the share of B by weight that gives the lightness l (L*,
// D50), and true; or the nearer end, 0 or 1, and false where l is not between
// the two grouts. It halves the interval until nothing is left of it.
func (m Blend) ShareFor(l float64) (share float64, ok bool) {
	la, lb := m.A.Lab().L, m.B.Lab().L
	if l < min(la, lb) || l > max(la, lb) {
		if math.Abs(l-lb) < math.Abs(l-la) {
			return 1, false
		}
		return 0, false
	}
	return bisect(0, 1, func(c float64) bool { return (m.At(c).Lab().L < l) == (la < lb) }), true
}

// Calibrated returns the same blend with the Strength at which the given share
// of B, between 0 and 1, has the lightness seen on a dried sample; and true, or
// the blend as it was and false where no strength of 1/100…100 gives it.
func (m Blend) Calibrated(share, seen float64) (Blend, bool) {
	at := func(log float64) float64 {
		return Blend{m.A, m.B, math.Exp(log)}.At(share).Lab().L
	}
	end := math.Log(100)
	weak, strong := at(-end), at(end)
	if seen < min(weak, strong) || seen > max(weak, strong) {
		return m, false
	}
	log := bisect(-end, end, func(x float64) bool { return (at(x) < seen) == (weak < strong) })
	return Blend{m.A, m.B, math.Exp(log)}, true
}

// bisect returns the place in lo…hi where before turns from true to false, to
// the last bits of a float64 around 1.
func bisect(lo, hi float64, before func(x float64) bool) float64 {
	for range 60 {
		mid := (lo + hi) / 2
		if before(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
