package quantity

import (
	"fmt"
	"math"
	"strings"
)

// Clock names one of the two schedules that people keep.
type Clock string

// The two clocks. Unhurried is common practice in mosaic studios: nothing is
// touched until an hour after the start. ByTouch wipes when a press leaves no
// print, as tilers and some mosaic teachers do.
const (
	Unhurried Clock = "unhurried"
	ByTouch   Clock = "by touch"
)

func clockFor(w Work) Clock {
	if w == Tiling {
		return ByTouch
	}
	return Unhurried
}

// Step is one line of the clock. Minutes count from the moment the water meets
// the powder of the first batch.
type Step struct {
	Key      string // mix, slake, spread, wait, sponge, wipe, rewipe, cloth, cover, judge, seal, full
	Name     string
	Do       string // what to do, one or two sentences
	Sign     string // what the work shows when it is time; it wins over the minutes
	StartMin int
	EndMin   int
	Wait     bool // nothing to do
	Sources  []Source
}

// Schedule is the clock of one working day, and the care after it.
type Schedule struct {
	Clock    Clock
	Before   Line   // what must be done days before
	Round    []Step // one round, from water to dry cloth
	After    []Step // days later, counted like the round; from the last round
	Rounds   int    // rounds the whole job takes
	RoundMin int    // a new round may begin so many minutes after the last one began
	PerRound int    // batches mixed in one round
	Today    int    // rounds that fit into a day of 8 h, at least 1
	Note     Line   // what the clock doesn't know
}

// Minutes that both clocks share; stirring is ours, slaking 10 min (SupplierPage
// and TCNAColor: not slaking is a listed cause of blotches).
const (
	stirMin  = 5
	slakeMin = 10
	dayMin   = 480
	days28   = 28 * 24 * 60
)

// TemperatureFactor scales waiting and curing times from 21 °C: each 10 °C more
// halves them, each 10 °C less doubles them (HalvingRule, a rule of thumb).
func TemperatureFactor(celsius float64) float64 { return math.Exp2((21 - celsius) / 10) }

// Working range of air and surface, °C: 60–90 °F (A10810).
var (
	coolest = Celsius(60)
	warmest = Celsius(90)
)

// factor is the temperature factor, held to the range where grout can be worked
// at all, so that a frosty day isn't given a clock of its own.
func (in *Input) factor() float64 { return TemperatureFactor(min(max(in.TemperatureC, 5), 40)) }

// schedule lays out the chosen clock for these batches.
func (in *Input) schedule(b *Batches) Schedule {
	s := Schedule{Clock: in.Clock, Before: in.before(), Note: in.clockNote(), PerRound: 1}
	if in.Clock == Unhurried {
		s.PerRound = max(1, min(b.Count, int(bucketWindow/b.SpreadMin)))
	}
	s.Rounds = (b.Count + s.PerRound - 1) / s.PerRound
	spread := five(b.SpreadMin * float64(min(b.Count, s.PerRound)))
	if in.Clock == Unhurried {
		s.Round, s.RoundMin = unhurried(spread, in.factor())
	} else {
		s.Round, s.RoundMin = byTouch(spread, in.factor())
	}
	s.Today = max(1, min(s.Rounds, dayMin/s.RoundMin))
	s.After = in.after((s.Today-1)*s.RoundMin, s.Round[len(s.Round)-1].EndMin)
	return s
}

// Days is how many working days the rounds take.
func (s *Schedule) Days() int { return (s.Rounds + s.Today - 1) / s.Today }

// Steps are all steps of the first day in order of their start: every round,
// and the care after the last.
func (s *Schedule) Steps() []Step {
	var out []Step
	for r := range s.Today {
		for _, step := range s.Round {
			step.StartMin += r * s.RoundMin
			step.EndMin += r * s.RoundMin
			out = append(out, step)
		}
	}
	return append(out, s.After...)
}

// Words are the clock in one line: its name, and when hands are needed after the
// water of a round.
func (s *Schedule) Words() Amount {
	a := Amount{Name: "Clock", Value: string(s.Clock), Sources: s.Before.Sources}
	for _, step := range s.Round[3:] { // stirring, slaking and spreading follow the water at once
		if !step.Wait {
			a.Text += fmt.Sprintf("%s at %d:%02d, ", strings.ToLower(step.Name), step.StartMin/60, step.StartMin%60)
		}
	}
	a.Text = strings.TrimSuffix(a.Text, ", ") + " h after the water"
	if s.Rounds > 1 {
		a.Text += fmt.Sprintf(", in %d rounds", s.Rounds)
	}
	return a
}

func (in *Input) before() Line {
	if in.Grouted {
		return line("Raking first: joints that were raked wet or washed dry for a day at least.", CommonPractice)
	}
	if in.Work == Tiling {
		return line("Adhesive first: cement adhesive hardens 24 to 48 h before grouting.", WaterFine)
	}
	return line("Adhesive first: studio glue hardens 24 h, cement adhesive 24 to 48 h, before grouting.", SupplierPage, WaterFine)
}

// clockNote says how far the minutes can be trusted.
func (in *Input) clockNote() Line {
	text := "The sign wins over the minutes, and the bag's pot life over both."
	if f := in.factor(); math.Abs(f-1) > 0.05 {
		text += " At " + in.Units.Temperature(in.TemperatureC) + " waiting is taken as " + trim(f, 1) +
			" times as long as at " + in.Units.Temperature(21) + ", a rule of thumb."
	}
	return line(text+" How long spreading takes is a guess; time your own first batch.", HalvingRule, PotLifeSheet, Ours)
}
