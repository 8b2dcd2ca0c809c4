package preview

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// The named beds as the manual has them; #c8b090 by the published sRGB and Lab
// formulas, through ParseHex, which has tests of its own.
func TestParseBed(t *testing.T) {
	for _, unknown := range []string{"", "auto"} {
		b, err := ParseBed(unknown)
		require.NoError(t, err)
		assert.Equal(t, Bed{}, b)
		assert.Nil(t, b.reflectance(), "a bed nobody named is never white")
	}
	for name, l := range map[string]float64{"white": 93, "grey": 49.5, "black": 14} {
		b, err := ParseBed(name)
		require.NoError(t, err)
		assert.Equal(t, Bed{Known: true, Lab: colormath.Lab{L: l}}, b)
	}
	b, err := ParseBed("#C8B090")
	require.NoError(t, err)
	assert.True(t, b.Known)
	assert.Equal(t, "#c8b090", b.Lab.LinearRGB().Hex())
	short, err := ParseBed("#fff")
	require.NoError(t, err)
	assert.InDelta(t, 100, short.Lab.L, .001)

	for _, bad := range []string{"White", "gray", "paper", "c8b090", "#12345", "#1234567", "#gg0000", "#-1-1-1", "# 1 2 3", "#ffffff ", "white,black", "93", "NaN", "#٠٠٠"} {
		_, err := ParseBed(bad)
		f, ok := err.(*Fault)
		require.True(t, ok, "%q", bad)
		assert.Equal(t, CodeUsage, f.Code)
		assert.Contains(t, f.Next, "white, grey, black")
	}
}

// A bed's reflectance is never so low that dividing by it blows the noise up.
func TestReflectanceHasAFloor(t *testing.T) {
	b, err := ParseBed("#000000")
	require.NoError(t, err)
	assert.Equal(t, &colormath.LinearRGB{R: .002, G: .002, B: .002}, b.reflectance())
	b, err = ParseBed("#ff0000")
	require.NoError(t, err)
	r := b.reflectance()
	assert.InDelta(t, 1, r.R, 1e-3)
	assert.InDelta(t, .002, r.G, 2e-3)
}

// Defaults as the manual has them.
func TestDefaultIsValid(t *testing.T) {
	s := Default()
	require.NoError(t, s.Validate(&photo.Photo{W: 100, H: 80}))
	assert.Equal(t, Balance, s.Aim)
	assert.Len(t, s.Shades, 11)
	assert.False(t, s.Bed.Known)
	assert.Nil(t, s.Corners)
}

func TestValidate(t *testing.T) {
	quad := func(v ...float64) *segment.Quad {
		var q segment.Quad
		for i := range q {
			q[i] = segment.Point{X: v[2*i], Y: v[2*i+1]}
		}
		return &q
	}
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		change func(*Settings)
		say    string // "" = fine
	}{
		"no shades":        {func(s *Settings) { s.Shades = nil }, "no shades to try"},
		"no aim":           {func(s *Settings) { s.Aim = "" }, "is not an aim"},
		"aim misspelt":     {func(s *Settings) { s.Aim = "Blend" }, `"Blend" is not an aim`},
		"gap without size": {func(s *Settings) { s.GapMm = 2 }, "how large the panel is"},
		"gap with size":    {func(s *Settings) { s.GapMm, s.WidthMm, s.HeightMm = 2, 400, 300 }, ""},
		"whole photo":      {func(s *Settings) { s.Corners = quad(0, 0, 639, 0, 639, 479, 0, 479) }, ""},
		"half a pixel out": {func(s *Settings) { s.Corners = quad(-.5, -.5, 639.5, -.5, 639.5, 479.5, -.5, 479.5) }, ""},
		"tilted":           {func(s *Settings) { s.Corners = quad(100, 20, 600, 90, 560, 400, 60, 300) }, ""},
		"left of it":       {func(s *Settings) { s.Corners = quad(-20, 0, 600, 0, 600, 400, 0, 400) }, "lies outside the photo of 640 x 480"},
		"below it":         {func(s *Settings) { s.Corners = quad(0, 0, 600, 0, 600, 490, 0, 400) }, "600,490 lies outside"},
		"no number":        {func(s *Settings) { s.Corners = quad(nan, 0, 600, 0, 600, 400, 0, 400) }, "outside"},
		"infinite":         {func(s *Settings) { s.Corners = quad(0, 0, inf, 0, 600, 400, 0, 400) }, "outside"},
		"anticlockwise":    {func(s *Settings) { s.Corners = quad(0, 0, 0, 400, 600, 400, 600, 0) }, "clockwise"},
		"crossed":          {func(s *Settings) { s.Corners = quad(0, 0, 600, 400, 600, 0, 0, 400) }, "clockwise"},
		"three in a line":  {func(s *Settings) { s.Corners = quad(0, 0, 300, 0, 600, 0, 0, 400) }, "clockwise"},
		"two the same":     {func(s *Settings) { s.Corners = quad(0, 0, 0, 0, 600, 400, 0, 400) }, "clockwise"},
		"all the same":     {func(s *Settings) { s.Corners = quad(5, 5, 5, 5, 5, 5, 5, 5) }, "clockwise"},
		"dented":           {func(s *Settings) { s.Corners = quad(0, 0, 600, 0, 100, 100, 0, 400) }, "clockwise"},
		"tiny":             {func(s *Settings) { s.Corners = quad(10, 10, 40, 10, 40, 40, 10, 40) }, "only 900 px"},
	} {
		s := Default()
		c.change(&s)
		err := s.Validate(&photo.Photo{W: 640, H: 480})
		if c.say == "" {
			assert.NoError(t, err, name)
			continue
		}
		f, ok := err.(*Fault)
		require.True(t, ok, "%s: %v", name, err)
		assert.Equal(t, CodeUsage, f.Code, name)
		assert.Contains(t, f.What, c.say, name)
		assert.NotEmpty(t, f.Next, name)
	}
}

// The scale is the root of area over area: by hand, 400 x 300 mm on 800 x 600 px
// is half a millimetre a pixel; leaning sideways changes nothing.
func TestMmPerPx(t *testing.T) {
	s := Settings{WidthMm: 400, HeightMm: 300}
	assert.InDelta(t, .5, s.mmPerPx(&segment.Quad{{}, {X: 800}, {X: 800, Y: 600}, {Y: 600}}), 1e-12)
	assert.InDelta(t, .5, s.mmPerPx(&segment.Quad{{X: 50}, {X: 850}, {X: 800, Y: 600}, {Y: 600}}), 1e-12)
	assert.Zero(t, s.mmPerPx(nil))
	s = Settings{WidthMm: 400}
	assert.Zero(t, s.mmPerPx(&segment.Quad{{}, {X: 800}, {X: 800, Y: 600}, {Y: 600}}), "half a size is none")
}
