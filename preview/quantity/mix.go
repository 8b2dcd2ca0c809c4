package quantity

// Water by mass of powder: 3 US pints to 10 lb unsanded (WaterFine), 5.5 quarts
// to 50 lb sanded for wide joints (WaterCoarse). The bag's own figure comes
// first; from memory, sanded bags ask 0.16 to 0.25.
const (
	WaterUnsanded = 3 * LitresPerQt / 2 / (10 * KgPerPound)
	WaterSanded   = 5.5 * LitresPerQt / (50 * KgPerPound)
)

// WaterRatio is kg of water per kg of powder.
func WaterRatio(k Kind) float64 {
	if k == Sanded {
		return WaterSanded
	}
	return WaterUnsanded
}

// MixedDensity is kg per litre of mixed grout if no water bleeds out: a check
// of plausibility, 2.10 unsanded and 1.94 sanded (data sheets say 1.9 to 2.1,
// from memory).
func MixedDensity(k Kind) float64 { return (1 + WaterRatio(k)) * Density(k) }

// mixing is the card for the bucket, by weight. A volume ratio is never the
// recipe: a cup of powder weighs from 196 to 390 g, so three to one by volume
// is anything from 0.20 to 0.40 by mass.
func (in *Input) mixing(c Choice, b *Batches) []Line {
	u := in.Units
	bag, sources := "Your bag's figure comes first.", []Source{WaterFine, CoverageChart}
	if c.Kind == Sanded {
		bag, sources = "Your bag's figure comes first; sanded bags ask 0.16 to 0.25.", []Source{WaterCoarse, CoverageChart, FromMemory}
	}
	return []Line{
		{"Weigh: " + u.Mass(b.EachKg) + " of powder to " + u.Water(b.WaterKg) + " of clean water, " + trim(WaterRatio(c.Kind), 2) +
			" by mass; it makes " + u.Volume(b.Litres) + ". " + bag, sources},
		line("Rough check by volume: three measures of powder to one of water. A measure of powder can weigh twice another, so trust the scale.", CommonPractice, CementDensity),
		line("Buy one lot. Stir all the dry powder together before any water goes in; keep "+u.Mass(keepKg)+" dry for repairs.", TCNAColor, WaterCoarse),
		line("Hold back a little of the water, stir it stiff, then add the rest drop by drop. More water dries paler and weaker.", TCNAColor, CommonPractice),
		line("Never add water later to wake a stiff mix: it pales and weakens. Throw it away and mix the next batch.", TCNAColor, StorePage),
		line("If you tint, all pigment together is at most a tenth of the cement in the bag, not of the bag.", ASTMC979),
	}
}
