package colormath

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Oracle: fresnel_internal.csv, which agrees with numeric integration of the
// Fresnel equations to 1e-12; eight decimals, 1e-6 asked.
func TestFresnelTable(t *testing.T) {
	for _, r := range reference(t, "fresnel_internal.csv", 8) {
		n := r.num(t, "n")
		assert.InDelta(t, r.num(t, "Rbar_external_diffuse"), MeanReflectance(n), 1e-8, "n %v", n)
		assert.InDelta(t, r.num(t, "p_internal_diffuse"), InternalReflectance(n), 1e-8, "n %v", n)
		assert.InDelta(t, r.num(t, "R_normal"), NormalReflectance(n), 1e-8, "n %v", n)
	}
	assert.Zero(t, MeanReflectance(1))
}

// The Fresnel equations, integrated here over the half sphere with the weight
// 2·sin·cos of diffuse light (midpoint rule; 1e-7 is its error at 20,000 steps).
// It covers the indices that the table lacks: 1.5/1.333 and 1.5/1.45.
func TestMeanReflectanceIsTheFresnelIntegral(t *testing.T) {
	for _, n := range []float64{1.5 / 1.45, 1.5 / 1.333, 1.333, 1.5, 2} {
		const steps = 20000
		sum := 0.0
		for i := range steps {
			u := (float64(i) + 0.5) / steps // u = sin², so that du is the weight
			ci, ct := math.Sqrt(1-u), math.Sqrt(1-u/(n*n))
			s, p := (ci-n*ct)/(ci+n*ct), (n*ci-ct)/(n*ci+ct)
			sum += (s*s + p*p) / 2
		}
		assert.InDelta(t, sum/steps, MeanReflectance(n), 1e-6, "n %v", n)
	}
}

// Oracle: wetting_film.csv. Its wet columns hold (1 − R_s)·… without the mirror
// image R_s itself, as [Film.Wet] does.
func TestWettingTable(t *testing.T) {
	for _, r := range reference(t, "wetting_film.csv", 13) {
		dry := r.num(t, "R_dry")
		assert.InDelta(t, r.num(t, "Lstar_dry"), Lightness(dry), 1e-3)
		wet := Water.Wet(dry)
		assert.InDelta(t, r.num(t, "R_wet_lekner_dorf_ns1.5"), wet, 1e-6, "dry %v", dry)
		assert.InDelta(t, r.num(t, "Lstar_wet_ns1.5"), Lightness(wet), 1e-3, "dry %v", dry)
		assert.InDelta(t, r.num(t, "R_wet_lekner_dorf_ns2.0"), Film{1.333, 2}.Wet(dry), 1e-6, "dry %v", dry)
		// Leaving the grains alone must give the lighter, older answer.
		p := InternalReflectance(1.333)
		film := (1 - NormalReflectance(1.333)) * (1 - p) * dry / (1 - p*dry)
		assert.InDelta(t, r.num(t, "R_wet_p_only"), film, 1e-6)
		assert.Less(t, wet, film)
	}
}

// Oracle: the wet columns of the palette table, which are [Water] on its Lab;
// the hundredths of a* and b* leave 6e-3.
func TestWetPalette(t *testing.T) {
	for _, r := range reference(t, "neutral_palette.csv", 9) {
		dry := r.lab(t, "L_D50", "a_D50", "b_D50")
		wet := Water.Damp(dry.LinearRGB()).Lab()
		labsClose(t, r.lab(t, "wet_L", "wet_a", "wet_b"), wet, 6e-3, r["id"])
	}
}

func TestWetIsDarkerAndKeepsOrder(t *testing.T) {
	for _, f := range []Film{Water, Enhancer} {
		last := -1.0
		for i := 0; i <= 1000; i++ {
			dry := float64(i) / 1000
			wet := f.Wet(dry)
			assert.Greater(t, wet, last, "%v at %v", f, dry)
			last = wet
			if i > 0 {
				assert.Less(t, wet, dry)
			}
		}
		assert.Zero(t, f.Wet(0))
		// A perfect white loses only what the film mirrors away.
		assert.InDelta(t, 1-NormalReflectance(f.Index), f.Wet(1), 1e-15)
		assert.Equal(t, f.Wet(1), f.Wet(1.3))
		assert.Equal(t, f.Wet(0), f.Wet(-0.1))
	}
	assert.Less(t, Enhancer.Wet(0.3), Water.Wet(0.3), "a denser film darkens more")
}

// The measurement behind the lower end: .59 − .23 = .36 with a loss to .250 (the
// loss is rounded to three digits, hence 1e-3).
func TestSoakMeetsTheMeasuredConcretes(t *testing.T) {
	assert.InDelta(t, 0.36, Soak(0.59, 0.25), 1e-3)
	assert.InDelta(t, 0.25, ScatterLoss(0.59, Soak(0.59, 0.25)), 1e-12)
	assert.Equal(t, 1.0, ScatterLoss(0.4, 0.4), "nothing changed")
}

func TestDampRangeIsOrdered(t *testing.T) {
	for i := 0; i <= 100; i++ {
		dry := float64(i) / 100
		lo, hi := DampRange(LinearRGB{dry, dry / 2, 0.95})
		film := Water.Damp(LinearRGB{dry, dry / 2, 0.95})
		assert.LessOrEqual(t, lo.R, hi.R)
		assert.LessOrEqual(t, lo.G, hi.G)
		assert.Equal(t, film.B, lo.B, "near white the film is the darker one")
		if dry > 0.01 && dry < 0.8 {
			assert.Equal(t, film.R, hi.R, "dry %v", dry)
			assert.Less(t, lo.R, hi.R)
		}
	}
}
