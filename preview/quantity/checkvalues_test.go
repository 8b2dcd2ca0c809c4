package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// The trade's check values. Each names the published source it comes from, or
// says that it is geometry, common practice without a source, or from memory.
// Class A is a standard, law, agency or reviewed paper, B an association or trade
// press, C a supplier, teacher or page; makers stay unnamed.
// Tolerances are those of the sources' own rounding: charts print whole square
// feet and whole bags, so 3 %; hand arithmetic is held to its last digit.

// grid is a job of so many square feet of tile, sizes in inches.
func grid(ft2, l, w, depth, joint float64, kind Kind) Input {
	in := Default()
	in.PanelMm2 = ft2 * M2PerFt2 * 1e6
	in.TileWMm, in.TileHMm = l*MmPerInch, w*MmPerInch
	in.ThicknessMm, in.JointMm = depth*MmPerInch, joint*MmPerInch
	in.Kind = kind
	return in
}

func plan(t *testing.T, in Input) Plan {
	t.Helper()
	p, err := Make(in)
	require.NoError(t, err)
	return p
}

// Checks 1 to 3, geometry: one tile with its share of joint.
func TestGapShareIsGeometry(t *testing.T) {
	const tol = 1e-4 // the check values have four decimals
	assert.InDelta(t, 0.0197, GapShare(300, 300, 3), tol, "1: 1 - 300²/303²")
	for j, want := range map[float64]float64{1: 0.0930, 1.5: 0.1347, 2: 0.1736} {
		assert.InDelta(t, want, GapShare(20, 20, j), tol, "2: 20 mm tile, joint %g", j)
	}
	assert.InDelta(t, 0.1142, GapShare(1, 1, 1.0/16), tol, "3: 1 - 16²/17²")
	assert.InDelta(t, 0.5556, GapShare(1, 1, 0.5), tol, "3: 1 - 1/2.25")
}

// Checks 4 to 8, a maker's coverage chart (source C): the area that one bag
// covers takes one bag.
func TestCoverageChart(t *testing.T) {
	rows := []struct {
		check                   int
		ft2, side, depth, joint float64
		kind                    Kind
		bagLb                   float64
	}{
		{4, 42, 1, 1. / 4, 1. / 16, Unsanded, 10},
		{5, 42, 2, 1. / 4, 1. / 8, Unsanded, 10},
		{6, 156, 12, 3. / 8, 1. / 8, Unsanded, 10},
		{7, 22, 1, 1. / 4, 1. / 2, Sanded, 25},
		{8, 71, 4, 3. / 8, 1. / 4, Sanded, 25},
	}
	for _, r := range rows {
		p := plan(t, grid(r.ft2, r.side, r.side, r.depth, r.joint, r.kind))
		assert.InEpsilon(t, r.bagLb*KgPerPound, p.Powder.Net, 0.03, "check %d", r.check)
	}
}

// The textbook formula needs another "constant" for every row of the same chart
// (source C): that is why the sheet prints ours first.
func TestTextbookFormulaMissesTheChart(t *testing.T) {
	p := plan(t, grid(22, 1, 1, 1./4, 1./2, Sanded))
	assert.Greater(t, p.Bag.NetKg, 1.7*25*KgPerPound, "check 7 by the formula on the bag")
	for _, r := range []struct{ side, joint, over float64 }{ // hand arithmetic, percent
		{300, 3, 1.5}, {20, 1, 7.6}, {20, 2, 15.2}, {10, 1, 15.2}, {10, 2, 30.9}} {
		in := Default()
		in.PanelMm2, in.TileWMm, in.TileHMm, in.JointMm = 1e5, r.side, r.side, r.joint
		assert.InDelta(t, r.over, 100*plan(t, in).Bag.Over, 0.06, "%g mm, joint %g", r.side, r.joint)
	}
}

// Check 9, a second maker (source C): 5 kg for 23 to 24 m².
func TestSecondMakersClaim(t *testing.T) {
	in := Default()
	in.PanelMm2, in.TileWMm, in.TileHMm, in.JointMm, in.ThicknessMm = 23.7e6, 300, 300, 2, 10
	assert.InEpsilon(t, 5, plan(t, in).Powder.Net, 0.01)
}

// Check 10, a mosaic supplier's guide (source C): ten square feet of 3/4 in
// glass take "under 2 lb"; 1.94 is our arithmetic at 4 mm.
func TestMosaicTheory(t *testing.T) {
	net := plan(t, grid(10, 0.75, 0.75, 4/MmPerInch, 1./16, Unsanded)).Powder.Net / KgPerPound
	assert.InEpsilon(t, 1.94, net, 0.01)
	assert.Less(t, net, 2.0)
}

// Check 11, a merchant's chart with 10 % waste in it (source C): 0.94 lb/ft²
// printed, 0.91 ours; 5 % because the chart's own density is 1.65.
func TestMerchantChart(t *testing.T) {
	lb := plan(t, grid(1, 3./8, 3./8, 3./8, 1./16, Unsanded)).Powder.Allowed / KgPerPound
	assert.InDelta(t, 0.91, lb, 0.005)
	assert.InEpsilon(t, 0.94, lb, 0.05)
}

// Check 12, hand arithmetic: 0.12 m² × 0.20 × 4 mm = 0.096 L, × 1.60, × 1.10.
func TestMeasuredPanel(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.GapMm2, in.ThicknessMm = 300, 400, 0.2*300*400, 4
	in.Joint = Widths{1, 2, 3}
	p := plan(t, in)
	assert.InDelta(t, 0.096, p.JointLitres, 1e-3)
	assert.InDelta(t, 0.154, p.Powder.Net, 1e-3)
	assert.InDelta(t, 0.169, p.Powder.Allowed, 1e-3)
	assert.InDelta(t, 0.154*2/3, p.Powder.Shallow, 1e-3, "adhesive in a third of the depth")
}

// Checks 13 and 14, two makers' sheets (source C).
func TestWater(t *testing.T) {
	assert.InDelta(t, 0.313, WaterRatio(Unsanded), 5e-4, "3 US pints to 10 lb")
	assert.InEpsilon(t, 10.6, 0.313/LitresPerOz, 0.01, "fl oz for 1 kg")
	assert.InEpsilon(t, 1.32, 0.313/LitresPerCup, 0.01, "cups for 1 kg")
	assert.InDelta(t, 0.229, 5.2/22.68, 1e-3)
	assert.InDelta(t, 0.229, WaterRatio(Sanded), 1e-3, "5.5 US quarts to 50 lb")
	// Plausibility, from memory: data sheets give 1.9 to 2.1 kg per litre mixed.
	assert.InDelta(t, 2.10, MixedDensity(Unsanded), 0.01)
	assert.InDelta(t, 1.94, MixedDensity(Sanded), 0.01)
}

// Checks 15 and 16: the bench range of a mosaic supplier's guide (source C) and
// the density of a cement page (source C), by exact definitions (NIST Handbook
// 44, figures from memory).
func TestBenchRangeAndCups(t *testing.T) {
	assert.InDelta(t, 2.441, BenchLow, 1e-3)
	assert.InDelta(t, 4.882, BenchHigh, 1e-3)
	sack := 94 * KgPerPound / math.Pow(0.3048, 3)
	assert.InEpsilon(t, 1505.7, sack, 0.001)
	assert.InEpsilon(t, 0.356, sack/1000*LitresPerCup, 0.001, "kg in a US cup")
	assert.InDelta(t, 0.196, CupLowKg, 5e-4)
	assert.InDelta(t, 0.390, CupHighKg, 5e-4)
}

// Check 17, Roman Mosaic Workshops (source C): 9000 cubes of 10 mm in a square
// metre stand at a pitch of 10.54 mm and leave a gap share of a tenth.
func TestRomanGround(t *testing.T) {
	pitch := math.Sqrt(1e6 / 9000.0)
	assert.InEpsilon(t, 10.54, pitch, 0.005)
	assert.InEpsilon(t, 9000, TilesPerM2(10, 10, 0.54), 0.005)
	assert.InEpsilon(t, 0.100, GapShare(10, 10, pitch-10), 0.005)
}

// Check 18, ANSI A108.10 as quoted in MMSA Bulletin 9 (source B).
func TestWorkingTemperatures(t *testing.T) {
	assert.InDelta(t, 15.56, coolest, 0.01)
	assert.InDelta(t, 32.22, warmest, 0.01)
	assert.InDelta(t, 90, Fahrenheit(warmest), 1e-9)
}

// Check 19, makers' hot and cold weather rules (source C): exact.
func TestTemperatureHalvesAndDoubles(t *testing.T) {
	assert.Equal(t, 0.5, TemperatureFactor(31))
	assert.Equal(t, 2.0, TemperatureFactor(11))
	assert.Equal(t, 1.0, TemperatureFactor(21))
}

// Check 20, computed from the film of Lekner and Dorf, Appl. Opt. 27, 1278
// (1988), source A, without their second term: Y under water is 0.98 − 0.98(1−Y)
// / (1 − 0.4746Y). The two constants are also colormath's.
func TestWetFilm(t *testing.T) {
	in := 1 - colormath.NormalReflectance(1.333)
	back := colormath.InternalReflectance(1.333)
	assert.InDelta(t, 0.98, in, 0.001)
	assert.InDelta(t, 0.4746, back, 0.0005)
	for dry, want := range map[float64]float64{60: 47.9, 90: 82.7, 25: 17.1} {
		y := colormath.Lab{L: dry}.Luminance()
		assert.InDelta(t, want, colormath.Lightness(0.98-0.98*(1-y)/(1-0.4746*y)), 0.1, "L* %g", dry)
	}
}

// Check 21, ASTM D1535 polynomial (coefficients from memory).
func TestMunsellNeutrals(t *testing.T) {
	for value, want := range map[float64]float64{5: 51.0, 9: 90.2, 2.5: 25.3} {
		assert.InDelta(t, want, colormath.MunsellNeutral(value).L, 0.1, "N%g", value)
	}
}

// Check 22, Smith, Jin, Pokorny, Vision Res. 41, 1007 (2001), source A: colours
// change from contrast to assimilation near 4 cycles per degree.
func TestChangeOver(t *testing.T) {
	assert.InEpsilon(t, 4, colormath.CyclesPerDegree(1, 4.36), 0.01)
	assert.InEpsilon(t, 4, colormath.CyclesPerDegree(4.81, 21), 0.01)
}

// Check 23, Gregory and Heard, Perception 8, 365 (1979), source A: ten minutes
// of arc, that is a sixth of a degree, beyond which a joint bends no rows.
func TestTenArcMinutes(t *testing.T) {
	assert.InEpsilon(t, 6, colormath.CyclesPerDegree(1, 2.91), 0.01)
	assert.InEpsilon(t, 6, colormath.CyclesPerDegree(2, 5.82), 0.01)
}

// Check 24, computed: the area-weighted mean of linear light.
func TestFarMean(t *testing.T) {
	y := 0.85*colormath.Lab{L: 60}.Luminance() + 0.15*colormath.Lab{L: 25}.Luminance()
	assert.InDelta(t, 56.7, colormath.Lightness(y), 0.1)
}

// Check 25, ANSI A108.02 s. 4.3.8 as quoted in TILE Letter 2019 (source B): a
// sixteenth of variation asks for three sixteenths of joint.
func TestSizeVariation(t *testing.T) {
	assert.InDelta(t, 4.76, LeastJoint(MmPerInch/16), 0.01)
	assert.InDelta(t, 3*MmPerInch/16, LeastJoint(MmPerInch/16), 1e-9)
}

// Check 26, trade press and common practice: 1/8 in (3.2 mm) is the step.
func TestKindRule(t *testing.T) {
	assert.Equal(t, Unsanded, KindFor(3.0))
	assert.Equal(t, Sanded, KindFor(3.3))
	assert.Equal(t, Unsanded, KindFor(MmPerInch/8), "an eighth itself is unsanded")
}

// Common practice, no source: a glass panel of 280 × 356 mm, 4 mm thick, took
// about three quarters of an 8 fl oz cup of dry powder, a cup being 356 g. The
// joints hold less than that, and the bench range holds it.
func TestGlassPanelTookThreeQuartersOfACup(t *testing.T) {
	took := 0.75 * 0.356
	for share := 0.12; share <= 0.2501; share += 0.01 {
		in := Default()
		in.WidthMm, in.HeightMm, in.ThicknessMm, in.Material = 280, 356, 4, Glass
		in.GapMm2, in.Joint = share*280*356, Widths{1, 2, 3}
		p := plan(t, in)
		require.True(t, p.Powder.Small)
		assert.Less(t, p.Powder.Net, took, "share %g", share)
		assert.LessOrEqual(t, p.Powder.Bench[0], took)
		assert.GreaterOrEqual(t, p.Powder.Bench[1], took)
	}
}
