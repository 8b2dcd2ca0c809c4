package colormath

// Contrast of two colours by lightness alone. All but [LRV] are symmetric: the
// lighter of the two is found, not asked for. ΔL* needs no function.

// LRV is the light reflectance value in points, 100·Y (BS 8493:2008). The
// standard measures Y for D65 and the 10° observer; ours is 2°, which for
// greys is all but the same. For elements of a building 30 points of difference
// are asked for, 20 on large or strongly lit areas (BS 8300-2:2018, Annex B).
func LRV(c Lab) float64 { return 100 * c.Luminance() }

// LRVDifference is the difference of the two LRVs in points, never negative.
func LRVDifference(a, b Lab) float64 {
	hi, lo := lighterFirst(a, b)
	return 100 * (hi - lo)
}

// Michelson is (Yh − Yl)/(Yh + Yl), 0…1; 0 for two blacks. About .30 is only
// poorly seen and .65 easily seen with severely impaired sight (Manandhar et
// al., Work, 2022, doi 10.3233/WOR-210997).
func Michelson(a, b Lab) float64 {
	hi, lo := lighterFirst(a, b)
	return ratio(hi-lo, hi+lo)
}

// Weber is (Yh − Yl)/Yh, the step as a share of the lighter colour, 0…1; 0 for
// two blacks.
func Weber(a, b Lab) float64 {
	hi, lo := lighterFirst(a, b)
	return ratio(hi-lo, hi)
}

// DisplayRatio is (Yh + .05)/(Yl + .05), 1…21: the contrast ratio of WCAG 2.1,
// which allows for stray light on a screen. It is meant for text on a display;
// use it for our own pages, not for grout.
func DisplayRatio(a, b Lab) float64 {
	hi, lo := lighterFirst(a, b)
	return (hi + 0.05) / (lo + 0.05)
}

// lighterFirst returns the two luminances, the larger one first.
func lighterFirst(a, b Lab) (hi, lo float64) {
	ya, yb := a.Luminance(), b.Luminance()
	return max(ya, yb), min(ya, yb)
}

// ratio is a/b, and 0 where both are 0.
func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}
