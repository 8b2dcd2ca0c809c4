package colormath

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func greyOf(l float64) LinearRGB { return Lab{L: l}.LinearRGB() }

// Oracle: kubelka_munk_mix.csv, four pairs of greys at three shares, computed
// outside this program; six decimals of R and K/S, three of L*.
func TestBlendTable(t *testing.T) {
	for _, r := range reference(t, "kubelka_munk_mix.csv", 12) {
		a, b := greyOf(r.num(t, "Lstar_1")), greyOf(r.num(t, "Lstar_2"))
		assert.InDelta(t, r.num(t, "R1"), a.G, 1e-6)
		assert.InDelta(t, r.num(t, "R2"), b.G, 1e-6)
		assert.InDelta(t, r.num(t, "KS1"), KubelkaMunk(a.G), 1e-6)
		assert.InDelta(t, r.num(t, "KS2"), KubelkaMunk(b.G), 1e-5)
		share := r.num(t, "fraction_of_2")
		mix := Blend{A: a, B: b}
		assert.InDelta(t, r.num(t, "R_mix_KM"), mix.At(share).G, 1e-6)
		assert.InDelta(t, r.num(t, "Lstar_mix_KM"), mix.At(share).Lab().L, 1e-3)
		// What plain averaging of light would say: never this dark.
		assert.InDelta(t, r.num(t, "Lstar_mix_if_linear"), Lightness((1-share)*a.G+share*b.G), 1e-3)
		assert.Less(t, mix.At(share).Lab().L, r.num(t, "Lstar_mix_if_linear"))

		got, ok := mix.ShareFor(r.num(t, "Lstar_mix_KM"))
		require.True(t, ok)
		assert.InDelta(t, share, got, 1e-4, "the three decimals of L* allow no better")
	}
}

// K/S by hand: R .5 → .25/1; .18 → .6724/.36; .10 → .81/.2.
func TestKubelkaMunkByHand(t *testing.T) {
	for r, ks := range map[float64]float64{0.5: 0.25, 0.18: 1.8677777777777778, 0.10: 4.05} {
		assert.InDelta(t, ks, KubelkaMunk(r), 1e-12)
		assert.InDelta(t, r, KubelkaMunkInverse(ks), 1e-12)
	}
	assert.Equal(t, KubelkaMunk(0.005), KubelkaMunk(-1), "clamped, not infinite")
	assert.Equal(t, KubelkaMunk(0.98), KubelkaMunk(1.2))
}

func TestBlendEndsOrderAndWayBack(t *testing.T) {
	a, b := Lab{85.3, 0.7, 4.2}.LinearRGB(), Lab{35.6, -1.1, -4.1}.LinearRGB()
	mix, turned := Blend{A: a, B: b}, Blend{A: b, B: a}
	assert.Equal(t, a, mix.At(0))
	assert.Equal(t, b, mix.At(1))
	last := 101.0
	for i := 0; i <= 40; i++ {
		c := float64(i) / 40
		p, q := mix.At(c), turned.At(1-c)
		assert.InDelta(t, p.R, q.R, 1e-14, "the order of pouring does not matter")
		assert.InDelta(t, p.G, q.G, 1e-14)
		assert.InDelta(t, p.B, q.B, 1e-14)
		l := p.Lab().L
		assert.Less(t, l, last, "more of the dark one is darker")
		last = l
		back, ok := mix.ShareFor(l)
		assert.True(t, ok)
		assert.InDelta(t, c, back, 1e-10)
		back, ok = turned.ShareFor(l)
		assert.True(t, ok)
		assert.InDelta(t, 1-c, back, 1e-10)
	}
	// A blend of blends is the blend of their shares: ¼ is half of half.
	half := Blend{A: a, B: mix.At(0.5)}.At(0.5)
	assert.InDelta(t, mix.At(0.25).G, half.G, 1e-12)
}

func TestShareOutOfReachNamesTheNearerEnd(t *testing.T) {
	mix := Blend{A: greyOf(90), B: greyOf(30)}
	for l, want := range map[float64]float64{95: 0, 20: 1} {
		share, ok := mix.ShareFor(l)
		assert.False(t, ok)
		assert.Equal(t, want, share)
	}
}

// A sample made with a strength of .4 must give that strength back, and a weak
// black must leave the mixture lighter while pure black stays black.
func TestCalibration(t *testing.T) {
	plain := Blend{A: greyOf(90), B: greyOf(30)}
	weak := Blend{A: plain.A, B: plain.B, Strength: 0.4}
	seen := weak.At(0.3).Lab().L
	assert.Greater(t, seen, plain.At(0.3).Lab().L)
	got, ok := plain.Calibrated(0.3, seen)
	require.True(t, ok)
	assert.InDelta(t, 0.4, got.Strength, 1e-9)
	assert.Equal(t, plain.B, got.At(1))
	// By hand: half of a powder that counts a third weighs ¼, as ½·⅓/(½ + ½·⅓).
	third := Blend{A: plain.A, B: plain.B, Strength: 1. / 3}
	assert.InDelta(t, plain.At(0.25).G, third.At(0.5).G, 1e-14)
	same, ok := plain.Calibrated(0.3, 95)
	assert.False(t, ok, "no strength makes a mixture lighter than both")
	assert.Equal(t, plain, same)
}
