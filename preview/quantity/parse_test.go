package quantity

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: 70 °F is 38 steps of 5/9 °C above freezing, 21.11 °C; −4 °F is −20 °C.
func TestParse(t *testing.T) {
	for s, want := range map[string]float64{"21C": 21, "21 °C": 21, "70F": 190. / 9, " 70 °f ": 190. / 9, "-4F": -20, "−4F": -20, "20,5C": 20.5} {
		got, err := ParseTemperature(s)
		require.NoError(t, err, s)
		assert.InDelta(t, want, got, 1e-9, s)
	}
	for s, want := range map[string]float64{"10%": .1, "12.5 %": .125, "0%": 0, "7,5%": .075} {
		got, err := ParseShare(s)
		require.NoError(t, err, s)
		assert.InDelta(t, want, got, 1e-12, s)
	}
	for s, want := range map[string]float64{"45min": 45, "45 minutes": 45, "1h": 60, "1.5 h": 90, "1h30min": 90, "2 hours 5 m": 125} {
		got, err := ParseMinutes(s)
		require.NoError(t, err, s)
		assert.InDelta(t, want, got, 1e-9, s)
	}
	for _, s := range []string{"2026-05-04T10:00", "2026-05-04 10:00"} {
		got, err := ParseStart(s)
		require.NoError(t, err)
		assert.Equal(t, time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC), got)
	}
}

// What could be meant in two ways, or in none, is refused with a word on how to
// write it.
func TestParseRefuses(t *testing.T) {
	refused := func(what, s string, err error) {
		var e *Error
		if assert.Truef(t, errors.As(err, &e), "%s %q", what, s) {
			assert.Contains(t, e.What, "is not a", s)
			assert.Contains(t, e.Next, "such as", s)
		}
	}
	for _, s := range []string{"", "21", "C", "warm", "21K", "2 1C", "NaNC", "1e9C", "70FF"} {
		_, err := ParseTemperature(s)
		refused("temperature", s, err)
	}
	for _, s := range []string{"", "10", "0.1", "%", "-5%", "ten %", "10%%", "1/10 %"} {
		_, err := ParseShare(s)
		refused("share", s, err)
	}
	for _, s := range []string{"", "45", "h", "1:30", "-5min", "30min 1h", "soon"} {
		_, err := ParseMinutes(s)
		refused("time", s, err)
	}
	for _, s := range []string{"", "tomorrow", "10:00", "2026-05-04", "2026-02-30T10:00", "2026-05-04T25:00", "2026-05-04T10:00Z",
		"0001-01-01T00:00", "1926-05-04T10:00", "9999-12-31T23:00", "04.05.2026 10:00"} {
		_, err := ParseStart(s)
		refused("start", s, err)
	}
}

// Check sees what was typed before any panel is known, and says the range.
func TestCheckBeforeThePanel(t *testing.T) {
	assert.NoError(t, Default().Check())
	for next, set := range map[string]func(*Input){
		"give a value from 0 to 100 mm":            func(in *Input) { in.ThicknessMm = 400 },
		"give a value from 0 to 1000 mm":           func(in *Input) { in.EdgeMm = 2000 },
		"give a value from 0 to 100 %":             func(in *Input) { in.Allowance = 1.5 },
		"give a value from -30 to 60 °C":           func(in *Input) { in.TemperatureC = 70 },
		"give a value from 0 to 600 min":           func(in *Input) { in.PotLifeMin = 6000 },
		"use auto, unsanded or sanded":             func(in *Input) { in.Kind = "fine" },
		"use indoor, wet or outdoor":               func(in *Input) { in.Place = "garden" },
		"use metric or us":                         func(in *Input) { in.Units = "imperial" },
		"use unhurried or by touch":                func(in *Input) { in.Clock = "soon" },
		"give a value from 0 to 100000 mm":         func(in *Input) { in.WidthMm = 2e5 },
		"use glass, glazed, porcelain, stone, ter": func(in *Input) { in.Material = "wood" },
	} {
		in := Default()
		set(&in)
		var e *Error
		if assert.ErrorAs(t, in.Check(), &e, next) {
			assert.Contains(t, e.Next, next)
		}
	}
}

// What a report holds about a job gives the same plan again, and can be changed
// in one place.
func TestGivenReadsBack(t *testing.T) {
	at := time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 11.75*MmPerInch, 400, 20, 25, 1.5
	in.ThicknessMm, in.EdgeMm, in.PotLifeMin, in.SizeVariationMm = MmPerInch/8, 5*MmPerInch/16, 45, .4
	in.Kind, in.Material, in.Place, in.Clock, in.Units, in.TemperatureC = Sanded, Glass, Wet, ByTouch, US, Celsius(70)
	want := plan(t, in)
	b := want.Block("Lemons", at)
	assert.Equal(t, "Lemons", b.Given.Title)
	back, start, err := b.Given.Input()
	require.NoError(t, err)
	assert.Equal(t, at, start)
	assert.Equal(t, in, back)
	assert.Equal(t, want, plan(t, back))

	little := plan(t, Input{PanelMm2: 1e5, GapMm2: 1e4, NarrowShare: -1, Kind: Auto, Material: Mixed, Place: Indoor, Units: Metric})
	b = little.Block("", time.Time{})
	assert.Equal(t, Given{Kind: Auto, Material: Mixed, Place: Indoor, Units: Metric}, b.Given, "what follows is not said")
	assert.Nil(t, b.NarrowShare)

	_, _, err = (&Given{Start: "soon"}).Input()
	assert.Error(t, err)
}
