package chips

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/light"
)

// board is a drawn photo: chips on a sheet that lies on a table, under daylight
// from the left; everything is arithmetic.
type board struct {
	sheet, table colormath.Lab
	chips        []sample
	card         *sample
	gain         float64 // exposure; 0 = .8
	curve        float64 // exponent of the camera; 0 = 1
	grain        float64
}

// sample is a rectangle of one colour.
type sample struct {
	box image.Rectangle
	c   colormath.Lab
}

const boardW, boardH = 420, 300

var (
	paper = colormath.Lab{L: 93, A: 0, B: -2}
	wood  = colormath.Lab{L: 45, A: 14, B: 28}
	six   = []sample{
		{image.Rect(60, 60, 130, 110), colormath.Lab{L: 82, A: 1, B: 6}},
		{image.Rect(170, 55, 240, 105), colormath.Lab{L: 61, A: 0, B: 1}},
		{image.Rect(285, 62, 355, 112), colormath.Lab{L: 52, A: 4, B: 12}},
		{image.Rect(62, 180, 132, 230), colormath.Lab{L: 40, A: 7, B: 11}},
		{image.Rect(172, 186, 242, 236), colormath.Lab{L: 36, A: -1, B: -4}},
		{image.Rect(282, 178, 352, 228), colormath.Lab{L: 25, A: 0, B: 0}},
	}
)

func (b board) draw() *colormath.Picture {
	rng := rand.New(rand.NewPCG(1, 2))
	pic := colormath.NewPicture(boardW, boardH)
	gain, curve := b.gain, b.curve
	if gain == 0 {
		gain = .8
	}
	if curve == 0 {
		curve = 1
	}
	for y := range boardH {
		for x := range boardW {
			c, shade := b.at(x, y)
			v := c.LinearRGB()
			e := gain * shade * (1.15 - .35*float64(x)/boardW + .05*float64(y)/boardH) * (1 + b.grain*rng.NormFloat64())
			f := func(k float64) float64 { return math.Pow(math.Max(0, k*e), curve) }
			pic.Set(x, y, colormath.LinearRGB{R: f(1.05 * v.R), G: f(v.G), B: f(.9 * v.B)})
		}
	}
	return pic
}

// at is the colour at a place, and its light: a shadow of 5 px lies right of and
// below everything on the sheet.
func (b board) at(x, y int) (colormath.Lab, float64) {
	p := image.Pt(x, y)
	if !p.In(image.Rect(25, 22, boardW-25, boardH-22)) {
		return b.table, 1
	}
	all := b.chips
	if b.card != nil {
		all = append([]sample{*b.card}, all...)
	}
	for _, s := range all {
		if p.In(s.box) {
			return s.c, 1
		}
	}
	for _, s := range all {
		if p.In(s.box.Add(image.Pt(5, 5))) {
			return b.sheet, .6
		}
	}
	return b.sheet, 1
}

// Six chips on white paper: found, in reading order, and read within ΔE00 1, light
// and cast taken out; what they may be off by is told and is not less than what they
// are off by.
func TestChipsOnPaper(t *testing.T) {
	b := board{sheet: paper, table: wood, chips: six, grain: .01}
	got, err := Measure(b.draw(), Options{Reference: paper})
	require.NoError(t, err)
	require.Len(t, got, 6)
	for i, c := range got {
		// The shadow is not ground, so it may widen the box by its 5 px.
		assert.InDelta(t, six[i].box.Min.X, c.Box.Min.X, 3)
		assert.InDelta(t, six[i].box.Max.Y, c.Box.Max.Y, 8)
		assert.LessOrEqual(t, colormath.DeltaE2000(six[i].c, c.Lab), 1.0, "chip %d: %v is not %v", i, c.Lab, six[i].c)
		assert.LessOrEqual(t, math.Abs(c.Lab.L-six[i].c.L), 2*c.Doubt.L)
		assert.Greater(t, c.Doubt.L, .3)
		assert.Less(t, c.Doubt.L, 4.0)
		assert.Zero(t, c.Burnt)
	}
	// The further from the reference, the less is known of the tone curve.
	assert.Greater(t, got[4].Doubt.L, got[0].Doubt.L)
}

// The same chips on grey board and on black card: the sheet is told from the table
// by what it is said to be.
func TestChipsOnGreyAndBlack(t *testing.T) {
	for name, sheet := range map[string]colormath.Lab{"grey": {L: 49.5}, "black": {L: 14}} {
		chips := six[:3]
		b := board{sheet: sheet, table: colormath.Lab{L: 70, A: 20, B: 40}, chips: chips, grain: .005}
		got, err := Measure(b.draw(), Options{Reference: sheet})
		require.NoError(t, err, name)
		require.Len(t, got, 3, name)
		for i, c := range got {
			assert.LessOrEqual(t, colormath.DeltaE2000(chips[i].c, c.Lab), 1.5, "%s, chip %d", name, i)
		}
	}
}

// On a table, beside a white card: the card tells colour and strength of the light,
// the table its shape, and the card itself is no chip.
func TestChipsBesideACard(t *testing.T) {
	card := sample{image.Rect(285, 62, 355, 112), paper}
	b := board{sheet: colormath.Lab{L: 60, A: 6, B: 18}, table: colormath.Lab{L: 20}, chips: []sample{six[0], six[1], six[4]}, card: &card, grain: .005}
	got, err := Measure(b.draw(), Options{Reference: paper, Card: &light.Card{X: 320, Y: 87, R: 20}})
	require.NoError(t, err)
	require.Len(t, got, 3)
	for i, want := range []sample{six[0], six[1], six[4]} {
		assert.LessOrEqual(t, colormath.DeltaE2000(want.c, got[i].Lab), 1.2, "chip %d: %v", i, got[i].Lab)
	}
}

// Boxes are taken in the order given, also round a chip that is as white as the
// paper and can't be found.
func TestBoxes(t *testing.T) {
	chips := []sample{six[1], {image.Rect(170, 180, 240, 230), paper}}
	b := board{sheet: paper, table: wood, chips: chips}
	pic := b.draw()
	got, err := Measure(pic, Options{Reference: paper, Boxes: []image.Rectangle{chips[1].box, chips[0].box}})
	require.NoError(t, err)
	require.Len(t, got, 2)
	assert.LessOrEqual(t, colormath.DeltaE2000(paper, got[0].Lab), 1.0)
	assert.LessOrEqual(t, colormath.DeltaE2000(six[1].c, got[1].Lab), 1.0)

	for _, bad := range []struct {
		box  image.Rectangle
		want error
	}{{image.Rect(400, 10, 500, 60), ErrOff}, {image.Rect(100, 100, 103, 103), ErrSmall}, {image.Rect(50, 50, 50, 90), ErrOff}} {
		_, err := Measure(pic, Options{Reference: paper, Boxes: []image.Rectangle{bad.box}})
		var e *BoxError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, bad.box, e.Box)
		assert.ErrorIs(t, err, bad.want)
	}
}

// A camera whose curve is a tenth off draws dark chips away by some L*: the doubt
// told is of that size, and it covers the error.
func TestToneCurveIsInTheDoubt(t *testing.T) {
	b := board{sheet: paper, table: wood, chips: six, curve: .95}
	got, err := Measure(b.draw(), Options{Reference: paper})
	require.NoError(t, err)
	require.Len(t, got, 6)
	for i, c := range got {
		assert.LessOrEqual(t, math.Abs(c.Lab.L-six[i].c.L), 2*c.Doubt.L, "chip %d", i)
	}
	assert.Greater(t, math.Abs(got[5].Lab.L-six[5].c.L), 1.0, "there is something to cover")
}

// Photos without an answer say which.
func TestNoAnswer(t *testing.T) {
	_, err := Measure(board{sheet: paper, table: wood}.draw(), Options{Reference: paper})
	assert.ErrorIs(t, err, ErrNoChips)
	_, err = Measure(board{sheet: paper, table: wood, chips: six, gain: 3}.draw(), Options{Reference: paper})
	assert.ErrorIs(t, err, ErrNoColour, "burnt out paper")
	rng := rand.New(rand.NewPCG(3, 3))
	noise := colormath.NewPicture(200, 150)
	for i := range noise.Pix {
		noise.Pix[i] = rng.Float32()
	}
	_, err = Measure(noise, Options{Reference: paper})
	assert.ErrorIs(t, err, ErrNoSheet)
	_, err = Measure(board{sheet: paper, table: wood, chips: six}.draw(), Options{Reference: paper, Card: &light.Card{X: 415, Y: 10, R: 30}})
	assert.ErrorIs(t, err, ErrOff, "the card lies beside the photo")
}

// Parts by eye: letters are chips, dots ground, # table. A speck, a pen and what
// touches the border are no chips; rows stand in reading order.
func TestFindOnALittleMap(t *testing.T) {
	rows := []string{
		"####################",
		"#..................#",
		"#..aaa.....bbb.....#",
		"#..aaa.....bbb...k##",
		"#..aaa.....bbb...kk#",
		"#..................#",
		"#...ppppppppppppp..#",
		"#..................#",
		"#.ccc.......x......#",
		"#.ccc..............#",
		"#.ccc....ddd.......#",
		"#........ddd.......#",
		"#........ddd.......#",
		"#..................#",
		"####################",
	}
	const unit = 5
	w, h := unit*len(rows[0]), unit*len(rows)
	on := make([]bool, w*h)
	for i := range on {
		on[i] = rows[i/w/unit][i%w/unit] == '.'
	}
	box := func(x0, y0, x1, y1 int) image.Rectangle { return image.Rect(unit*x0, unit*y0, unit*x1, unit*y1) }
	assert.Equal(t, []image.Rectangle{box(3, 2, 6, 5), box(11, 2, 14, 5), box(2, 8, 5, 11), box(9, 10, 12, 13)}, find(w, h, on))
}
