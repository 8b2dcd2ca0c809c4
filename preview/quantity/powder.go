package quantity

// Powder per litre of finished joint, kg: the one constant per kind that makes
// the rows of a maker's coverage chart agree (15 and 16 rows; CoverageChart).
const (
	DensityUnsanded = 1.60
	DensitySanded   = 1.58
)

// Density is kg of powder per litre of joint.
func Density(k Kind) float64 {
	if k == Sanded {
		return DensitySanded
	}
	return DensityUnsanded
}

// Bench range of small work, kg of powder per m² of panel: 0.5 to 1 lb/ft²
// (BenchGuide). It is 2.6 to 5.2 times what lies in the gaps.
const (
	BenchLow  = 0.5 * KgPerPound / M2PerFt2
	BenchHigh = 1.0 * KgPerPound / M2PerFt2
)

// Ours: above a square metre, or with wall and floor tile, the trade's
// allowance holds and the bench range does not.
const smallWorkMm2 = 1e6

// Powder to put aside for repairs (common practice, no source), kg.
const keepKg = 0.1

// The joint may be as shallow as two thirds of the tile, when the adhesive
// stands that high (TwoThirds); charts assume full depth.
const shallow = 2.0 / 3

// Thickness of the coat down the outer sides, mm: as thick as the rim that the
// panel is given. Ours; nothing published was found.
const edgeCoatMm = 1.5

// Powder is how much dry grout the job takes, kg.
type Powder struct {
	Net     float64    // what ends up in the joints at full depth, and on the edge
	Shallow float64    // the same when adhesive fills a third of the depth
	Allowed float64    // Net and the allowance
	Bench   [2]float64 // what small work uses, low and high
	Small   bool       // the bench range applies
	Need    float64    // what to mix: Allowed, and for small work no less than Bench[0]
	Buy     float64    // the batches, for small work no less than Bench[1], and 100 g to keep
}

// powder works out the amounts; joint and edge are litres.
func (in *Input) powder(kind Kind, joint, edge float64) Powder {
	d := Density(kind)
	m2 := in.PanelMm2 / 1e6
	p := Powder{
		Net:     d * (joint + edge),
		Shallow: d * (shallow*joint + edge),
		Bench:   [2]float64{BenchLow * m2, BenchHigh * m2},
		Small:   in.Work == Mosaic && in.PanelMm2 <= smallWorkMm2,
	}
	p.Allowed = p.Net * (1 + in.Allowance)
	p.Need = p.Allowed
	if p.Small {
		p.Need = max(p.Need, p.Bench[0])
	}
	return p
}

// buy is the powder to take home.
func (p *Powder) buy(batches float64, u Units) float64 {
	b := batches
	if p.Small {
		b = max(b, p.Bench[1])
	}
	return u.roundUp(b + keepKg)
}

// thickness is the given one, or a usual one of the material: vitreous glass
// 4–5 mm, stone cubes about 1/2 in (Thickness); 4 mm elsewhere in mosaics and
// 8 mm for wall and floor tile are common practice without a source.
func (in *Input) thickness() (mm float64, given bool) {
	switch {
	case in.ThicknessMm > 0:
		return in.ThicknessMm, true
	case in.Work == Tiling:
		return 8, false
	case in.Material == Stone:
		return 12, false
	}
	return 4, false
}

// UsualThicknessMm is how thick mosaic of a material mostly is, mm.
func UsualThicknessMm(m Material) float64 {
	in := Input{Material: m}
	mm, _ := in.thickness()
	return mm
}

// Grams in a US cup of powder, as poured to settled (CementDensity); the 94 lb
// sack of a cubic foot gives 356 g.
const (
	CupLowKg  = 0.830 * LitresPerCup
	CupHighKg = 1.650 * LitresPerCup
)

// Cups is a rough range of cups for a mass of powder, kg: from heaped and
// settled to freshly poured. It is no measure to mix by.
func Cups(kg float64) (low, high float64) { return kg / CupHighKg, kg / CupLowKg }
