package quantity

import (
	"math"
	"time"
)

// Block mirrors the job block of report.json, field by field and in its order.
type Block struct {
	GapShare    float64       `json:"gap_share"`
	JointLitres float64       `json:"joint_litres"` // joints and edge coat
	PowderKg    BlockPowder   `json:"powder_kg"`
	WaterKg     float64       `json:"water_kg"` // for all batches
	Batches     []float64     `json:"batches"`  // kg of powder in each
	Clock       []BlockStep   `json:"clock"`
	Cautions    []string      `json:"cautions"`
	Kind        Kind          `json:"kind"`
	Class       string        `json:"class"`
	Schedule    Clock         `json:"schedule"`
	ThicknessMm float64       `json:"thickness_mm"`           // given, or usual for the material
	NarrowShare *float64      `json:"narrow_share,omitempty"` // of the gap area; absent when not measured
	Warnings    []BlockRemark `json:"warnings"`
	Given       Given         `json:"given"`
}

// BlockPowder is powder in kg.
type BlockPowder struct {
	Net     float64    `json:"net"`
	Allowed float64    `json:"allowed"`
	Bench   [2]float64 `json:"bench"` // low, high
	Small   bool       `json:"small"` // the bench range counts
	Buy     float64    `json:"buy"`
}

// BlockRemark is a warning about this very job.
type BlockRemark struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// BlockStep is one step; Start and End are minutes from the first water, and
// the times stand beside them only when a start is known.
type BlockStep struct {
	Step      string `json:"step"`
	Start     int    `json:"start"`
	End       int    `json:"end"`
	StartTime string `json:"start_time,omitempty"` // local, 2006-01-02T15:04
	EndTime   string `json:"end_time,omitempty"`
}

// Block writes the plan for machines. start is the wall clock of the first
// water; the zero time leaves the times out. title is the sheet's heading, as
// typed.
func (p *Plan) Block(title string, start time.Time) Block {
	b := Block{
		GapShare: round(p.GapShare, 5), JointLitres: round(p.JointLitres+p.EdgeLitres, 4),
		PowderKg: BlockPowder{Net: round(p.Powder.Net, 4), Allowed: round(p.Powder.Allowed, 4),
			Bench: [2]float64{round(p.Powder.Bench[0], 4), round(p.Powder.Bench[1], 4)}, Small: p.Powder.Small, Buy: round(p.Powder.Buy, 4)},
		WaterKg: round(p.WaterKg, 4), Batches: []float64{}, Clock: []BlockStep{}, Cautions: []string{Overrule},
		Kind: p.Choice.Kind, Class: p.Choice.Class, Schedule: p.Schedule.Clock,
		ThicknessMm: p.ThicknessMm, Warnings: []BlockRemark{}, Given: p.Asked.given(title, start),
	}
	for range p.Batches.Count {
		b.Batches = append(b.Batches, roundUp4(p.Batches.EachKg))
	}
	for _, s := range p.Schedule.Steps() {
		b.Clock = append(b.Clock, blockStep(&s, start))
	}
	for _, c := range p.Cautions {
		b.Cautions = append(b.Cautions, c.Head+": "+c.Text)
	}
	for _, w := range p.Warnings {
		b.Warnings = append(b.Warnings, BlockRemark{w.Code, w.Text})
	}
	if p.In.NarrowShare >= 0 {
		b.NarrowShare = new(round(p.In.NarrowShare, 4))
	}
	return b
}

func blockStep(s *Step, start time.Time) BlockStep {
	b := BlockStep{Step: s.Key, Start: s.StartMin, End: s.EndMin}
	if !start.IsZero() {
		b.StartTime, b.EndTime = At(start, s.StartMin).Format(stamp), At(start, s.EndMin).Format(stamp)
	}
	return b
}

const stamp = "2006-01-02T15:04"

// At is the wall clock so many minutes after start. The zone of start is
// dropped: a sheet on the wall shows the hands of a clock, so a change to
// summer time within the three days of curing is not followed.
func At(start time.Time, minutes int) time.Time {
	y, m, d := start.Date()
	return time.Date(y, m, d, start.Hour(), start.Minute()+minutes, 0, 0, time.UTC)
}

func round(v float64, decimals int) float64 {
	k := math.Pow10(decimals)
	return math.Round(v*k) / k
}

// roundUp4 keeps four decimals and never goes below v, so that the batches
// still cover the need.
func roundUp4(v float64) float64 { return math.Ceil(v*1e4-1e-6) / 1e4 }
