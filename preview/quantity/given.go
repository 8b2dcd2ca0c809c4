package quantity

import "time"

// Given mirrors what a person said about the job, so that a later run can make
// the same plan from a report and change one thing. What is absent was not said.
type Given struct {
	Title           string      `json:"title,omitempty"`
	SizeMm          *[2]float64 `json:"size_mm,omitempty"` // width, height
	TileMm          *[2]float64 `json:"tile_mm,omitempty"` // width, height
	JointMm         float64     `json:"joint_mm,omitempty"`
	ThicknessMm     float64     `json:"thickness_mm,omitempty"`
	SizeVariationMm float64     `json:"size_variation_mm,omitempty"`
	EdgeMm          float64     `json:"edge_mm,omitempty"`
	PotLifeMin      float64     `json:"pot_life_min,omitempty"`
	Allowance       float64     `json:"allowance"` // share, 0…1
	TemperatureC    float64     `json:"temperature_c"`
	Kind            Kind        `json:"kind"`
	Material        Material    `json:"material"`
	Place           Place       `json:"place"`
	Grouted         bool        `json:"grouted,omitempty"` // an old floor or wall
	Clock           Clock       `json:"clock,omitempty"`
	Units           Units       `json:"units"`
	Start           string      `json:"start,omitempty"` // local, 2006-01-02T15:04
}

// given is the said part of an input.
func (in *Input) given(title string, start time.Time) Given {
	g := Given{Title: title, SizeMm: pair(in.WidthMm, in.HeightMm), TileMm: pair(in.TileWMm, in.TileHMm), JointMm: in.JointMm,
		ThicknessMm: in.ThicknessMm, SizeVariationMm: in.SizeVariationMm, EdgeMm: in.EdgeMm, PotLifeMin: in.PotLifeMin,
		Allowance: in.Allowance, TemperatureC: in.TemperatureC,
		Kind: in.Kind, Material: in.Material, Place: in.Place, Grouted: in.Grouted, Clock: in.Clock, Units: in.Units}
	if !start.IsZero() {
		g.Start = start.Format(stamp)
	}
	return g
}

// Input turns it back. The error, if any, is an *Error about the start; Make
// checks the rest.
func (g *Given) Input() (in Input, start time.Time, err error) {
	in = Input{JointMm: g.JointMm, NarrowShare: -1, ThicknessMm: g.ThicknessMm, SizeVariationMm: g.SizeVariationMm,
		EdgeMm: g.EdgeMm, PotLifeMin: g.PotLifeMin, Allowance: g.Allowance, TemperatureC: g.TemperatureC,
		Kind: g.Kind, Material: g.Material, Place: g.Place, Grouted: g.Grouted, Clock: g.Clock, Units: g.Units}
	if g.SizeMm != nil {
		in.WidthMm, in.HeightMm = g.SizeMm[0], g.SizeMm[1]
	}
	if g.TileMm != nil {
		in.TileWMm, in.TileHMm = g.TileMm[0], g.TileMm[1]
	}
	if g.Start != "" {
		start, err = ParseStart(g.Start)
	}
	return in, start, err
}

func pair(a, b float64) *[2]float64 {
	if a == 0 && b == 0 {
		return nil
	}
	return &[2]float64{a, b}
}
