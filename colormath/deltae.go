package colormath

import "math"

// DeltaE76 is ΔE*ab, the straight distance in Lab (ISO/CIE 11664-4, equation
// 20). About 2.3 is just noticeable for colours side by side (Mahy, Van
// Eycken, Oosterlinck, Color Res. Appl. 19, 105, 1994).
func DeltaE76(a, b Lab) float64 {
	dl, da, db := a.L-b.L, a.A-b.A, a.B-b.B
	return math.Sqrt(dl*dl + da*da + db*db)
}

// HyAB is |ΔL*| + √(Δa*² + Δb*²): Abasi, Amani Tehran, Fairchild, Color Res.
// Appl. 45, 208 (2020). It is meant for large differences, from about 10 up,
// which is what grout against tile usually is; lead with it there.
func HyAB(a, b Lab) float64 {
	da, db := a.A-b.A, a.B-b.B
	return math.Abs(a.L-b.L) + math.Sqrt(da*da+db*db)
}

// DeltaE2000 is ΔE00 with kL = kC = kH = 1 (ISO/CIE 11664-6:2022), symmetric
// and 0 for equal colours. 0.8 is seen and 1.8 no longer accepted by half of
// 175 observers (Paravina et al., J. Esthet. Restor. Dent. 27 S1, 2015).
//
// It was fitted to small differences between plain samples that touch, seen at
// about 1000 lx under D65; for a joint across a tile it only orders the shades,
// and it shrinks lightness steps away from L* 50: 10 units of L* are 8.2 from
// 30 to 40 but 6.3 from 85 to 95. Use it for "does this match", up to about 5.
func DeltaE2000(x, y Lab) float64 {
	// Chroma with the a* axis stretched near grey: Sharma, Wu, Dalal, Color
	// Res. Appl. 30, 21 (2005), equations 2 to 7.
	g := 1 + greyStretch((x.Chroma()+y.Chroma())/2)
	a1, a2 := g*x.A, g*y.A
	c1, c2 := math.Sqrt(a1*a1+x.B*x.B), math.Sqrt(a2*a2+y.B*y.B)
	dh, hm := hueStep(hueDegrees(a1, x.B), hueDegrees(a2, y.B), c1*c2 == 0)

	// Differences, equations 8 to 11.
	dL, dC := y.L-x.L, c2-c1
	dH := 2 * math.Sqrt(c1*c2) * math.Sin(radians(dh/2))

	// Weights and the rotation in the blue, equations 12 to 21.
	lm, cm := (x.L+y.L)/2-50, (c1+c2)/2
	sL := 1 + 0.015*lm*lm/math.Sqrt(20+lm*lm)
	sC := 1 + 0.045*cm
	sH := 1 + 0.015*cm*hueWeight(hm)
	rT := -2 * chromaShare(cm) * math.Sin(radians(blueTurn(hm)))

	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(l*l + c*c + h*h + rT*c*h)
}

// greyStretch is G, equation 4: 0.5 at grey, falling to 0 in strong colours.
func greyStretch(c float64) float64 { return 0.5 * (1 - chromaShare(c)) }

// chromaShare is √(C⁷/(C⁷+25⁷)), common to equations 4 and 17.
func chromaShare(c float64) float64 {
	const to7 = 25 * 25 * 25 * 25 * 25 * 25 * 25
	c2 := c * c
	c7 := c2 * c2 * c2 * c
	return math.Sqrt(c7 / (c7 + to7))
}

// blueTurn is 2Δθ, equation 16, in degrees: 60 at hue 275, gone elsewhere.
// Beyond 6.5 widths, 162° away, it is below 1e-16 and not worked out.
func blueTurn(h float64) float64 {
	turn := (h - 275) / 25
	if turn < -6.5 || turn > 6.5 {
		return 0
	}
	return 60 * math.Exp(-turn*turn)
}

// hueStep returns the hue difference h2 − h1 wrapped to ±180° and the mean hue,
// equations 10 and 14. When one colour is grey the step is 0 and the mean is
// the sum, that is, the hue of the other one. At exactly 180° the mean is the
// plain half. Two pairs of the published table lie there and the rounding of
// atan2 alone would put one of them on the other branch, so "exactly" is taken
// with a slack of 1e-9°; a detour through RGB moves hues by far more.
func hueStep(h1, h2 float64, grey bool) (step, mean float64) {
	const half = 180 + 1e-9
	step, sum := h2-h1, h1+h2
	switch {
	case grey:
		return 0, sum
	case math.Abs(step) <= half:
		return step, sum / 2
	case step > 0:
		step -= 360
	default:
		step += 360
	}
	if sum < 360 {
		return step, (sum + 360) / 2
	}
	return step, (sum - 360) / 2
}

// hueWeight is T, equation 15. The four cosines come from one sine and cosine
// by the multiple-angle identities, which halves the time of the whole
// formula; the result differs by less than 1e-14.
func hueWeight(h float64) float64 {
	s, c := math.Sincos(radians(h))
	c2, s2 := c*c-s*s, 2*s*c
	c3, s3 := c2*c-s2*s, s2*c+c2*s
	c4, s4 := c2*c2-s2*s2, 2*s2*c2
	return 1 - 0.17*(c*cos30+s*sin30) + 0.24*c2 +
		0.32*(c3*cos6-s3*sin6) - 0.20*(c4*cos63+s4*sin63)
}

// Cosines and sines of the fixed angles in T, degrees.
const (
	cos30, sin30 = 0.866025403784438646763723, 0.5
	cos6, sin6   = 0.994521895368273336922691, 0.104528463267653471399834
	cos63, sin63 = 0.453990499739546791560408, 0.891006524188367862359710
)

func radians(degrees float64) float64 { return degrees * (math.Pi / 180) }
