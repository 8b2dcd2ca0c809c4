package quantity

// Plan is everything that the sizes of a job say about the rest of it.
type Plan struct {
	Asked Input // as given
	In    Input // with what follows from it filled in

	GapShare    float64 // of the panel, 0…1
	Measured    bool    // from a gap mask; else exact from tile and joint sizes
	Tiles       float64 // in the panel, from sizes; 0 = not known
	ThicknessMm float64 // given, or usual for the material
	JointLitres float64 // joints at full depth
	EdgeLitres  float64 // coat down the outer sides
	Bag         Bag     // the formula on the bag, beside the exact one

	Powder   Powder
	WaterKg  float64 // for all batches
	Batches  Batches
	Choice   Choice
	Mixing   []Line
	Schedule Schedule
	Cautions []Caution
	Checks   []Line
	Disputes []Dispute
	Warnings []Remark
}

// Bag is what the textbook formula makes of the same sizes.
type Bag struct {
	Known bool    // tile and joint sizes were given
	Share float64 // can exceed 1
	NetKg float64
	Over  float64 // too high by this share of the exact amount
}

// Make plans a job. The error, if any, is an *Error: a size that can't be, or a
// kind of grout that the joints can't hold.
func Make(in Input) (Plan, error) {
	asked := in
	in = in.derived()
	if err := in.check(); err != nil {
		return Plan{}, err
	}
	choice, err := in.choose()
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Asked: asked, In: in, Choice: choice, GapShare: in.gapShare(), Measured: in.GapMm2 > 0}
	p.amounts()
	p.Schedule = in.schedule(&p.Batches)
	p.Mixing = in.mixing(choice, &p.Batches)
	p.Cautions, p.Checks, p.Disputes = in.cautions(), in.checks(), in.disputes()
	p.Warnings = p.warnings()
	return p, nil
}

// Litres of mm³.
const mm3PerLitre = 1e6

// amounts fills in volumes, powder, batches and water.
func (p *Plan) amounts() {
	in := &p.In
	p.ThicknessMm, _ = in.thickness()
	p.JointLitres = p.GapShare * in.PanelMm2 * p.ThicknessMm / mm3PerLitre
	p.EdgeLitres = in.PerimeterMm * in.EdgeMm * edgeCoatMm / mm3PerLitre
	p.Powder = in.powder(p.Choice.Kind, p.JointLitres, p.EdgeLitres)
	p.Batches = in.batches(p.Choice.Kind, p.Powder.Need)
	p.Powder.Buy = p.Powder.buy(p.Batches.TotalKg(), in.Units)
	p.WaterKg = float64(p.Batches.Count) * p.Batches.WaterKg
	if in.TileWMm > 0 && in.TileHMm > 0 && in.JointMm > 0 {
		p.Tiles = in.PanelMm2 / 1e6 * TilesPerM2(in.TileWMm, in.TileHMm, in.JointMm)
		share := TextbookShare(in.TileWMm, in.TileHMm, in.JointMm)
		p.Bag = Bag{Known: true, Share: share, Over: share/GapShare(in.TileWMm, in.TileHMm, in.JointMm) - 1,
			NetKg: share * in.PanelMm2 * p.ThicknessMm / mm3PerLitre * Density(p.Choice.Kind)}
	}
}

func (p *Plan) warnings() []Remark {
	in := &p.In
	out := in.checkShare(p.GapShare)
	out = append(out, in.kindRemarks(p.Choice.Kind)...)
	out = append(out, in.jointRemarks()...)
	out = append(out, in.warmth()...)
	if pot := in.pot(); pot != nil {
		out = append(out, pot...) // says more than slow would
	} else {
		out = append(out, p.Batches.slow()...)
	}
	if in.Grouted {
		out = append(out, in.raked()...)
	} else if t, given := in.thickness(); !given {
		out = append(out, Remark{"thickness", line("No thickness was given; "+in.Units.Length(t)+" is taken. The amount goes with it: measure a piece.", Thickness, CommonPractice)})
	}
	return out
}
