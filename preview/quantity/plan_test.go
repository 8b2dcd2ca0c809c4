package quantity

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// random is any job a person could type, from a coaster to a hall.
func random(r *rand.Rand) Input {
	in := Default()
	pick := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	in.WidthMm, in.HeightMm = pick(40, 8000), pick(40, 8000)
	in.ThicknessMm = pick(1, 25)
	if r.IntN(4) == 0 {
		in.ThicknessMm = 0
	}
	if r.IntN(2) == 0 {
		in.TileWMm, in.TileHMm, in.JointMm = pick(4, 600), pick(4, 600), pick(0.3, 15)
	} else {
		in.GapMm2 = in.WidthMm * in.HeightMm * pick(0.01, 0.6)
		p50 := pick(0.5, 8)
		in.Joint = Widths{p50 * 0.6, p50, p50 * 1.7}
		in.NarrowShare = r.Float64()
	}
	if r.IntN(3) == 0 {
		in.EdgeMm = pick(2, 30)
	}
	in.Allowance = float64(r.IntN(101)) / 100
	in.TemperatureC = -5 + 45*r.Float64()
	in.PotLifeMin = []float64{0, 0, 20, 45, 90, 240}[r.IntN(6)]
	in.SizeVariationMm = []float64{0, 0.5, 2}[r.IntN(3)]
	in.Material = []Material{Glass, Glazed, Porcelain, Stone, Terracotta, Metal, Mixed}[r.IntN(7)]
	in.Place = []Place{Indoor, Wet, Outdoor}[r.IntN(3)]
	in.Work = []Work{AutoWork, Mosaic, Tiling}[r.IntN(3)]
	in.Clock = []Clock{"", Unhurried, ByTouch}[r.IntN(3)]
	in.Kind = []Kind{Auto, Sanded}[r.IntN(2)]
	in.Units = []Units{Metric, US}[r.IntN(2)]
	return in
}

func TestThousandRandomJobs(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 1000 {
		in := random(r)
		p := plan(t, in)
		sane(t, reflect.ValueOf(p), "plan")
		total := p.Batches.TotalKg()
		require.GreaterOrEqual(t, total, p.Powder.Need-1e-9, "%+v", in)
		require.GreaterOrEqual(t, p.Batches.EachKg, MinBatchKg-1e-9)
		if p.Powder.Need > MinBatchKg {
			require.LessOrEqual(t, total, 1.05*p.Powder.Need, "%+v", in)
		} else {
			require.Equal(t, 1, p.Batches.Count)
		}
		require.GreaterOrEqual(t, p.Powder.Buy, total+keepKg-1e-9)
		require.LessOrEqual(t, p.Powder.Net, p.Powder.Allowed)
		require.LessOrEqual(t, p.Powder.Shallow, p.Powder.Net)
		orderly(t, &p)
	}
}

// sane walks everything that was worked out: no number is NaN, infinite or
// below zero, but for what the person may give below zero.
func sane(t *testing.T, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Float64:
		f := v.Float()
		if strings.HasSuffix(path, "TemperatureC") || strings.HasSuffix(path, "NarrowShare") {
			return
		}
		require.False(t, math.IsNaN(f) || math.IsInf(f, 0) || f < 0, "%s is %g", path, f)
	case reflect.Int:
		require.GreaterOrEqual(t, v.Int(), int64(0), path)
	case reflect.String:
		for _, bad := range []string{"NaN", "Inf", "%!"} {
			require.NotContains(t, v.String(), bad, path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			sane(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			sane(t, v.Index(i), path)
		}
	}
}

// orderly holds the clock: one pair of hands never does two things at once, no
// step ends before it begins, and a round's own steps follow without a hole.
func orderly(t *testing.T, p *Plan) {
	t.Helper()
	s := &p.Schedule
	require.Positive(t, s.Rounds)
	require.LessOrEqual(t, s.Today, s.Rounds)
	require.GreaterOrEqual(t, s.Rounds*s.PerRound, p.Batches.Count)
	var busy []Step
	for _, step := range s.Steps() {
		require.Less(t, step.StartMin, step.EndMin, "%s of %+v", step.Key, p.In)
		require.NotEmpty(t, step.Sources, step.Key)
		if !step.Wait {
			busy = append(busy, step)
		}
	}
	for i, a := range busy {
		for _, b := range busy[i+1:] {
			require.True(t, a.EndMin <= b.StartMin || b.EndMin <= a.StartMin,
				"%s %d–%d and %s %d–%d in %+v", a.Key, a.StartMin, a.EndMin, b.Key, b.StartMin, b.EndMin, p.In)
		}
	}
	for i := 1; i < len(s.Round); i++ {
		require.LessOrEqual(t, s.Round[i-1].EndMin, s.Round[i].StartMin)
	}
}

// The studio's clock on a small panel, as it is told there (common practice, no
// source): slake 10 min, spread 20–30, nothing until an hour, cloth at two.
func TestUnhurriedClock(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 280, 356, 20, 20, 2
	p := plan(t, in)
	require.Equal(t, Unhurried, p.Schedule.Clock, "mosaic")
	at := byKey(p.Schedule.Steps())
	assert.Equal(t, 10, at["slake"].EndMin-at["slake"].StartMin)
	assert.Equal(t, 20, at["spread"].EndMin-at["spread"].StartMin)
	assert.Equal(t, 60, at["sponge"].StartMin)
	assert.Equal(t, 120, at["cloth"].StartMin)
	assert.NotContains(t, at, "seal", "indoors nothing is sealed")
	assert.Equal(t, 72*60, at["judge"].StartMin)
	in.Place = Outdoor
	p = plan(t, in)
	seal := p.Schedule.After[2]
	assert.Equal(t, "seal", seal.Key)
	assert.GreaterOrEqual(t, seal.StartMin, 72*60)
}

// A square metre of mosaic is spread in one go, by the bucket that serves 2½ h.
func TestUnhurriedLargePanel(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 1000, 1000, 10, 10, 1.5
	p := plan(t, in)
	assert.Equal(t, 4, p.Batches.Count, "110 min of spreading in batches of at most 30")
	assert.Equal(t, 1, p.Schedule.Rounds)
	assert.Equal(t, 15+110+5, p.Schedule.Round[4].StartMin, "the sponge waits for the last joint")
}

// By touch (a mosaic teacher; common practice): first wipe 15–30 min after the
// spreading began, again after 15.
func TestByTouchClock(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 1500, 1000, 300, 300, 3
	p := plan(t, in)
	require.Equal(t, ByTouch, p.Schedule.Clock, "wall and floor tile")
	at := byKey(p.Schedule.Round)
	assert.GreaterOrEqual(t, at["rewipe"].StartMin, at["wipe"].EndMin+15)
	assert.Greater(t, at["cloth"].StartMin, at["rewipe"].EndMin)
}

// Whatever the size and the warmth, the first place is wiped within the 15–30
// min, scaled by the rule of thumb; two roundings to five minutes, from when it was spread.
func TestFirstWipeFallsIntoItsWindow(t *testing.T) {
	for celsius := 10.0; celsius <= 32; celsius++ {
		for m2 := 0.2; m2 < 30; m2 *= 1.7 {
			in := Default()
			in.PanelMm2, in.TileWMm, in.TileHMm, in.JointMm = m2*1e6, 300, 300, 3
			in.TemperatureC, in.Clock = celsius, ByTouch
			p := plan(t, in)
			if p.Batches.SpreadMin > p.Batches.WindowMin+0.5 {
				assert.Contains(t, codes(p), "batch-time", "a pound takes longer than the heat allows")
				continue
			}
			at := byKey(p.Schedule.Round)
			waited := float64(at["wipe"].StartMin - at["spread"].StartMin)
			f := TemperatureFactor(celsius)
			assert.GreaterOrEqual(t, waited, 15*f-5, "%g °C, %g m²", celsius, m2)
			assert.LessOrEqual(t, waited, 30*f+5, "%g °C, %g m²", celsius, m2)
		}
	}
}

func byKey(steps []Step) map[string]Step {
	at := map[string]Step{}
	for _, s := range steps {
		at[s.Key] = s
	}
	return at
}

// Ten degrees more halve the wait, ten less double it (rule of thumb).
func TestWarmthMovesTheSponge(t *testing.T) {
	start := func(c float64) int {
		in := Default()
		in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm, in.TemperatureC = 200, 200, 20, 20, 2, c
		return plan(t, in).Schedule.Round[6].StartMin
	}
	assert.Equal(t, 60, start(31))
	assert.Equal(t, 240, start(11))
}

// The bag's pot life overrules both clocks and sets the batch.
func TestPotLifeSetsTheBatch(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 1000, 1000, 10, 10, 1.5
	free := plan(t, in)
	in.PotLifeMin = 30
	short := plan(t, in)
	assert.InDelta(t, 15, short.Batches.WindowMin, 1e-9, "30 less 5 of stirring and 10 of slaking")
	assert.Greater(t, short.Batches.Count, free.Batches.Count)
	in.PotLifeMin = 240
	assert.Equal(t, 1, plan(t, in).Batches.Count, "unhurried, one bucket serves")
	in.Clock = ByTouch
	assert.InDelta(t, 25, plan(t, in).Batches.WindowMin, 1e-9, "by touch the wipe comes first")
}

func codes(p Plan) []string {
	out := []string{}
	for _, w := range p.Warnings {
		out = append(out, w.Code)
	}
	return out
}

func TestWarnings(t *testing.T) {
	base := func() Input {
		in := Default()
		in.WidthMm, in.HeightMm, in.ThicknessMm = 300, 300, 4
		in.GapMm2, in.Joint, in.NarrowShare = 0.15*9e4, Widths{1.7, 2, 2.5}, 0
		return in
	}
	for _, c := range []struct {
		want string
		set  func(*Input)
	}{
		{"", func(*Input) {}},
		{"scratch", func(in *Input) { in.Joint = Widths{2, 3, 3.5}; in.Material = Glass }},
		{"narrow-gaps", func(in *Input) { in.NarrowShare = 0.2 }},
		{"", func(in *Input) { in.NarrowShare = 0.004 }}, // a mask a pixel off
		{"narrow-gaps", func(in *Input) { in.NarrowShare = -1; in.Joint = Widths{1.5, 2, 2.5} }},
		{"size-variation", func(in *Input) { in.SizeVariationMm = 1 }},
		{"gap-share", func(in *Input) { in.GapMm2 = 0.02 * 9e4 }},
		{"gap-share", func(in *Input) { in.GapMm2 = 0.5 * 9e4 }},
		{"temperature", func(in *Input) { in.TemperatureC = 14 }},
		{"temperature", func(in *Input) { in.TemperatureC = 33 }},
		{"too-cold", func(in *Input) { in.TemperatureC = 4 }},
		{"pot-life", func(in *Input) { in.PotLifeMin = 20 }},
		{"batch-time", func(in *Input) { in.PotLifeMin = 25 }},
		{"thickness", func(in *Input) { in.ThicknessMm = 0 }},
		{"wide-joints", func(in *Input) { in.Joint = Widths{5, 8, 13}; in.Material = Terracotta }},
		{"regional-joint", func(in *Input) { in.Work = Tiling; in.Joint = Widths{1.6, 1.8, 2} }},
	} {
		in := base()
		c.set(&in)
		got := codes(plan(t, in))
		if c.want == "" {
			assert.Empty(t, got)
		} else {
			assert.Equal(t, []string{c.want}, got)
		}
	}
}

// What is measured is told as measured; equal joints are not counted in tenths.
func TestKindSaysWhy(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 300, 300, 20, 20, 2
	assert.Equal(t, "The joints are 2 mm; unsanded serves to 3.2 mm.", plan(t, in).Choice.Why.Text)
	in.JointMm = 4
	assert.Equal(t, "The joints are 4 mm; over 3.2 mm sanded shrinks less.", plan(t, in).Choice.Why.Text)
	in.Kind = Unsanded
	_, err := Make(in)
	assert.EqualError(t, err, "unsanded grout shrinks and cracks in joints over 3.2 mm, and the joints are 4 mm; use sanded, or auto")
	in.Kind, in.GapMm2, in.Joint = Auto, 1e4, Widths{1, 2, 4}
	assert.Equal(t, "One joint in ten is over 4 mm; over 3.2 mm sanded shrinks less.", plan(t, in).Choice.Why.Text)
	in.Joint.P90 = 3
	assert.Equal(t, "Nine joints in ten are at most 3 mm; unsanded serves to 3.2 mm.", plan(t, in).Choice.Why.Text)
	in.Kind = Sanded
	assert.Contains(t, plan(t, in).Choice.Why.Text, "unsanded would serve, since nine joints in ten are at most 3 mm")
}

// The clock in one line, with the minutes of the steps that need hands.
func TestClockInWords(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 280, 356, 20, 20, 2
	p := plan(t, in)
	assert.Equal(t, "damp sponge at 1:00, dry cloth at 2:00 h after the water", p.Schedule.Words().Text)
	in.Clock = ByTouch
	p = plan(t, in)
	assert.Regexp(t, "^first wipe at 0:35, second wipe at 1:00, dry cloth at 1:1[0-9] h after the water$", p.Schedule.Words().Text)
	in.WidthMm, in.HeightMm = 2000, 2000
	p = plan(t, in)
	assert.Contains(t, p.Schedule.Words().Text, " rounds")
}

// A square metre that is a fifth gap and 4 mm deep holds 0.8 litres, 1.28 kg.
func TestPerSquareMetre(t *testing.T) {
	kg, mm := Default().PerM2(.2)
	assert.InDelta(t, 1.3, kg, 1e-9)
	assert.InDelta(t, 4, mm, 0)
	_, mm = Input{Material: Stone}.PerM2(.2)
	assert.InDelta(t, 12, mm, 0)
	_, mm = Input{ThicknessMm: 6}.PerM2(.2)
	assert.InDelta(t, 6, mm, 0)
}

// Thickness by material and work, where none is given; the warning says which.
func TestUsualThickness(t *testing.T) {
	for _, c := range []struct {
		m    Material
		side float64
		want float64
	}{{Glass, 20, 4}, {Mixed, 20, 4}, {Stone, 10, 12}, {Porcelain, 300, 8}, {Stone, 300, 8}} {
		in := Default()
		in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm, in.Material = 900, 900, c.side, c.side, 2, c.m
		p := plan(t, in)
		assert.InDelta(t, c.want, p.ThicknessMm, 0, "%s %g", c.m, c.side)
		assert.Contains(t, codes(p), "thickness")
		in.ThicknessMm = 5
		p = plan(t, in)
		assert.InDelta(t, 5, p.ThicknessMm, 0)
		assert.NotContains(t, codes(p), "thickness")
	}
}

func TestClassWords(t *testing.T) {
	for _, c := range []struct {
		m    Material
		p    Place
		want string
	}{{Glass, Indoor, "CG2"}, {Porcelain, Indoor, "CG2"}, {Terracotta, Indoor, "CG1"},
		{Terracotta, Outdoor, "CG2 WA"}, {Glass, Wet, "CG2 WA"}} {
		in := Default()
		in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 300, 300, 20, 20, 2
		in.Material, in.Place = c.m, c.p
		p := plan(t, in)
		assert.Equal(t, c.want, p.Choice.Class, "%s %s", c.m, c.p)
		if c.p != Indoor {
			assert.Contains(t, p.Choice.Note.Text, "RG")
		}
	}
}

func TestRefusals(t *testing.T) {
	ok := Default()
	ok.WidthMm, ok.HeightMm, ok.TileWMm, ok.TileHMm, ok.JointMm = 300, 300, 20, 20, 2
	_, err := Make(ok)
	require.NoError(t, err)
	for name, set := range map[string]func(*Input){
		"no panel":          func(in *Input) { in.WidthMm = 0 },
		"no gaps":           func(in *Input) { in.JointMm = 0 },
		"gaps over panel":   func(in *Input) { in.GapMm2 = 1e5 },
		"NaN":               func(in *Input) { in.ThicknessMm = math.NaN() },
		"infinite":          func(in *Input) { in.WidthMm = math.Inf(1) },
		"negative":          func(in *Input) { in.EdgeMm = -1 },
		"upside down":       func(in *Input) { in.Joint = Widths{3, 2, 1} },
		"kind":              func(in *Input) { in.Kind = "epoxy" },
		"place":             func(in *Input) { in.Place = "moon" },
		"units":             func(in *Input) { in.Units = "" },
		"unsanded too wide": func(in *Input) { in.Kind, in.JointMm = Unsanded, 5 },
		"allowance":         func(in *Input) { in.Allowance = 10 },
	} {
		in := ok
		set(&in)
		_, err := Make(in)
		var e *Error
		if assert.Truef(t, errors.As(err, &e), "%s: %v", name, err) {
			assert.NotEmpty(t, e.Next, name)
			assert.False(t, strings.HasSuffix(err.Error(), "."), err)
		}
	}
}

// The edge coat by hand: 2 × (400 + 300) mm × 8 mm × 1.5 mm = 16.8 mL.
func TestEdgeCoat(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm, in.EdgeMm, in.ThicknessMm = 400, 300, 20, 20, 2, 8, 4
	p := plan(t, in)
	assert.InDelta(t, 0.0168, p.EdgeLitres, 1e-9)
	assert.InDelta(t, 1.60*(p.JointLitres+0.0168), p.Powder.Net, 1e-9)
}

func TestBlock(t *testing.T) {
	in := Default()
	in.WidthMm, in.HeightMm, in.TileWMm, in.TileHMm, in.JointMm = 1000, 1000, 10, 10, 1.5
	p := plan(t, in)
	b := p.Block("", time.Time{})
	var sum float64
	for _, kg := range b.Batches {
		sum += kg
	}
	assert.GreaterOrEqual(t, sum, p.Powder.Need)
	assert.Len(t, b.Batches, p.Batches.Count)
	assert.Equal(t, Overrule, b.Cautions[0])
	text, err := json.Marshal(b)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "start_time", "no start, no times")
	b = p.Block("", time.Date(2026, 5, 4, 23, 50, 0, 0, time.FixedZone("", 7200)))
	assert.Equal(t, "2026-05-04T23:50", b.Clock[0].StartTime)
	assert.Equal(t, "2026-05-05T00:05", b.Clock[1].EndTime, "over midnight, by the hands of the clock")
}
