package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// window is daylight from the left: a slope, a bulge, and a cast towards
// yellow; about 1.7 to 1 over the panel.
func window(u, v float64) colormath.LinearRGB {
	e := math.Exp(-.4 + .15*u - .1*v - .08*u*u + .04*u*v - .06*v*v)
	return colormath.LinearRGB{R: 1.1 * e, G: e, B: .8 * e}
}

// steep falls off 4 to 1 from corner to corner.
func steep(u, v float64) colormath.LinearRGB {
	e := math.Exp(-.7 + math.Ln2*(u+v)/2)
	return colormath.LinearRGB{R: .95 * e, G: e, B: .9 * e}
}

func even(float64, float64) colormath.LinearRGB { return colormath.LinearRGB{R: 1, G: 1, B: 1} }

// walls leave two fifths of the light on the half of every gap that lies under
// the taller side.
func walls(across float64) float64 {
	if across < 0 {
		return .4
	}
	return 1
}

var (
	paper = colormath.Lab{L: 93, B: -4}.LinearRGB()
	glaze = colormath.Lab{L: 55, A: 10, B: -20}.LinearRGB()
	wood  = colormath.Lab{L: 40, A: 12, B: 25}.LinearRGB()
)

// overPanel calls visit for places all over the panel, edges included.
func overPanel(visit func(x, y float64)) {
	for y := 0.0; y <= drawnPanH; y += 9 {
		for x := 0.0; x <= drawnPanelW; x += 9 {
			visit(drawnX0+x, drawnY0+y)
		}
	}
}

// offBy compares the field with the truth: the mean and the largest relative
// error over the panel and the channels.
func offBy(f *Field, truth func(u, v float64) colormath.LinearRGB) (mean, worst float64) {
	n := 0.0
	overPanel(func(x, y float64) {
		g, e := f.At(x, y), truth(place(x, y))
		for _, q := range [3]float64{g.R/e.R - 1, g.G/e.G - 1, g.B/e.B - 1} {
			mean, worst, n = mean+math.Abs(q), max(worst, math.Abs(q)), n+1
		}
	})
	return mean / n, worst
}

// The oracle is the light that the panel was drawn under. With bed lying open
// round the panel the light is right within 2 % everywhere, half of every gap in
// shadow or not: 2 % of light is 0.7 of L* in the middle of the scale. With a
// table of another colour round it nothing is known beyond the outermost gaps,
// and the corners may be off by more.
func TestFieldIsTheLight(t *testing.T) {
	for name, c := range map[string]struct {
		d           drawn
		mean, worst float64
	}{
		"open bed":             {drawn{light: window, bed: paper, tile: glaze}, .01, .02},
		"open bed, shadows":    {drawn{light: window, bed: paper, tile: glaze, shadow: walls}, .015, .02},
		"on a table":           {drawn{light: window, bed: paper, tile: glaze, table: &wood}, .02, .08},
		"on a table, shadows":  {drawn{light: window, bed: paper, tile: glaze, table: &wood, shadow: walls}, .02, .08},
		"grey bed":             {drawn{light: window, bed: colormath.Lab{L: 70}.LinearRGB(), tile: glaze}, .015, .02},
		"even, brown card":     {drawn{light: even, bed: colormath.Lab{L: 66, A: 8, B: 22}.LinearRGB(), tile: glaze}, .002, .005},
		"even, narrow gaps":    {drawn{light: even, bed: paper, tile: glaze, gap: 4}, .002, .005},
		"tiles paler than bed": {drawn{light: window, bed: colormath.Lab{L: 60}.LinearRGB(), tile: paper}, .02, .03},
	} {
		t.Run(name, func(t *testing.T) {
			pic, m := c.d.draw()
			r := Measure(pic, m, &c.d.bed, 0)
			mean, worst := offBy(r.Field, c.d.light)
			assert.LessOrEqual(t, mean, c.mean, "mean error")
			assert.LessOrEqual(t, worst, c.worst, "worst error")
			assert.True(t, r.Known)
			assert.Greater(t, r.Samples, 1000)

			// Cast is the light's colour over its mean, by hand from the drawing.
			e := c.d.light(0, 0)
			s := (e.R + e.G + e.B) / 3
			assert.InDeltaSlice(t, []float64{e.R / s, e.G / s, e.B / s}, r.Cast[:], .01)
			// Bed is what the photo shows in the middle: light times reflectance.
			assert.InEpsilon(t, e.G*c.d.bed.G, r.Bed.G, .03)
		})
	}
}

// Flat field: under a light of 4 to 1 and a cast the colours of the tiles come
// back. ΔE00 0.5 is below what a trained eye sees; the corners, where the light
// is read from one side only, may reach 1.
func TestColoursUnderSteepLight(t *testing.T) {
	d := drawn{light: steep, bed: paper, tile: glaze}
	pic, m := d.draw()
	f := Measure(pic, m, &d.bed, 0).Field
	sum, worst, n := 0.0, 0.0, 0.0
	for y := range drawnH {
		for x := range drawnW {
			if m.Label[y*drawnW+x] == 0 {
				continue
			}
			p, e := pic.At(x, y), f.At(float64(x), float64(y))
			de := colormath.DeltaE2000(colormath.LinearRGB{R: p.R / e.R, G: p.G / e.G, B: p.B / e.B}.Lab(), glaze.Lab())
			sum, worst, n = sum+de, max(worst, de), n+1
		}
	}
	assert.LessOrEqual(t, sum/n, .5)
	assert.LessOrEqual(t, worst, 1.0)
}

// (brightest − darkest) ÷ mean, summed here over the drawn light.
func TestUnevenness(t *testing.T) {
	d := drawn{light: steep, bed: paper, tile: glaze}
	pic, m := d.draw()
	lo, hi, sum, n := math.Inf(1), 0.0, 0.0, 0.0
	overPanel(func(x, y float64) {
		e := steep(place(x, y)).Luminance()
		lo, hi, sum, n = min(lo, e), max(hi, e), sum+e, n+1
	})
	require.InDelta(t, 4, hi/lo, .01, "the drawing is what it says")
	assert.InDelta(t, (hi-lo)/(sum/n), Measure(pic, m, &d.bed, 0).Unevenness, .1)

	d.light = even
	pic, m = d.draw()
	assert.InDelta(t, 0, Measure(pic, m, &d.bed, 0).Unevenness, .01)
}

// When the bed's colour is not known, only the shape of the light is taken: on
// the mean a perfect white stays at the photo's white, channel by channel.
func TestUnknownBedKeepsTheExposure(t *testing.T) {
	for name, bed := range map[string]colormath.LinearRGB{
		"white paper": paper, "brown card": colormath.Lab{L: 66, A: 8, B: 22}.LinearRGB(), "grey board": colormath.Lab{L: 45}.LinearRGB(),
	} {
		d := drawn{light: window, bed: bed, tile: colormath.Lab{L: 35}.LinearRGB()}
		pic, m := d.draw()
		r := Measure(pic, m, nil, 0)
		assert.False(t, r.Known, name)
		assert.Equal(t, [3]float64{1, 1, 1}, r.Cast, name)

		var mean colormath.LinearRGB
		n, least, most := 0.0, math.Inf(1), 0.0
		overPanel(func(x, y float64) {
			g, e := r.Field.At(x, y), window(place(x, y))
			mean.R, mean.G, mean.B, n = mean.R+g.R, mean.G+g.G, mean.B+g.B, n+1
			least, most = min(least, g.G/e.G), max(most, g.G/e.G)
		})
		// 1 %: the mean is taken on another grid than the field's own.
		assert.InDeltaSlice(t, []float64{1, 1, 1}, []float64{mean.R / n, mean.G / n, mean.B / n}, .01, name)
		assert.Less(t, most/least, 1.04, "%s: the shape is the light's", name)
	}
}

// Never white by default: a bed half as light under the same light gives the
// same field, so nothing was concluded from its own lightness.
func TestUnknownBedIsNotTakenForWhite(t *testing.T) {
	half := colormath.LinearRGB{R: paper.R / 2, G: paper.G / 2, B: paper.B / 2}
	dark := colormath.Lab{L: 20}.LinearRGB()
	one, m := drawn{light: window, bed: paper, tile: dark}.draw()
	two, _ := drawn{light: window, bed: half, tile: dark}.draw()
	a, b := Measure(one, m, nil, 0), Measure(two, m, nil, 0)
	overPanel(func(x, y float64) {
		assert.InEpsilon(t, a.Field.At(x, y).G, b.Field.At(x, y).G, 1e-4)
	})
	assert.InEpsilon(t, 2, a.Bed.G/b.Bed.G, 5e-3, "what the photo shows is still told, haze and all")
}

// What the tiles look like says nothing about the light as long as they are
// darker than the bed.
func TestTilesDoNotColourTheLight(t *testing.T) {
	one, m := drawn{light: window, bed: paper, tile: glaze}.draw()
	two, _ := drawn{light: window, bed: paper, tile: colormath.Lab{L: 30, A: 40, B: 30}.LinearRGB()}.draw()
	a, b := Measure(one, m, &paper, 0).Field, Measure(two, m, &paper, 0).Field
	overPanel(func(x, y float64) { assert.Equal(t, a.At(x, y), b.At(x, y)) })
}

// Too little bed: an even light, and it says so.
func TestTooLittleBed(t *testing.T) {
	pic, m := drawn{light: steep, bed: paper, tile: glaze}.draw()
	for i := range m.Gap {
		m.Gap[i] = 0
	}
	for _, bed := range []*colormath.LinearRGB{nil, &paper} {
		r := Measure(pic, m, bed, 0)
		assert.Zero(t, r.Samples)
		assert.False(t, r.Known)
		assert.Equal(t, [3]float64{1, 1, 1}, r.Cast)
		assert.Zero(t, r.Unevenness)
		assert.Equal(t, colormath.LinearRGB{R: 1, G: 1, B: 1}, r.Field.At(0, 0))
		assert.Equal(t, colormath.LinearRGB{R: 1, G: 1, B: 1}, r.Field.At(drawnW, drawnH))
	}
}

// A veil of half a percent of white, as lenses add, is a quarter of what a black
// card then shows; taken at its word the light would be 29 % too high.
func TestVeilOnBlackCard(t *testing.T) {
	card := colormath.Lab{L: 14}.LinearRGB()
	seen := colormath.LinearRGB{R: card.R + .005, G: card.G + .005, B: card.B + .005}
	require.InDelta(t, .29, seen.G/card.G-1, .005)
	under := colormath.LinearRGB{R: seen.R - haze, G: seen.G - haze, B: seen.B - haze} // the drawing adds its own
	pic, m := drawn{light: even, bed: under, tile: glaze}.draw()
	mean, _ := offBy(Measure(pic, m, &card, 0).Field, even)
	assert.LessOrEqual(t, mean, .15)
}

// Where paper stands at the photo's white the light is at least that; a field
// that took the lid for the light would be flat there.
func TestClippedPaper(t *testing.T) {
	bright := func(u, v float64) colormath.LinearRGB {
		e := math.Exp(.1 + .3*u)
		return colormath.LinearRGB{R: e, G: e, B: e}
	}
	pic, m := drawn{light: bright, bed: paper, tile: glaze}.draw()
	for i, v := range pic.Pix {
		pic.Pix[i] = min(v, 1)
	}
	f := Measure(pic, m, &paper, 0).Field
	left, right := f.At(drawnX0, drawnH/2).G, f.At(drawnX0+drawnPanelW, drawnH/2).G
	assert.InEpsilon(t, math.Exp(-.2), left, .05, "where the paper is not clipped")
	assert.Greater(t, right, 1.03/paper.G, "above what a lid at the photo's white would read")
}
