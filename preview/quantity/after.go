package quantity

import "math"

// after is the care that follows the last round of the day, which began at
// offset and whose cloth ended roundEnd minutes later. Cold lengthens it; heat
// shortens nothing, because 72 h is a floor.
func (in *Input) after(offset, roundEnd int) []Step {
	dry := offset + 24*60*int(math.Ceil(3*max(1, in.factor())-1e-9)) // whole days
	steps := []Step{
		{Key: "cover", Name: "Cure slowly", Do: "No heater, no sun, no draught, no foot; a light mist now and then. Plastic sheet lying on coloured grout can mottle it.",
			StartMin: offset + roundEnd, EndMin: dry, Wait: true, Sources: []Source{A10810, SupplierPage, StorePage, Mottle, TCNAColor}},
		{Key: "judge", Name: "Judge the colour", Do: "Only now: wet grout looks much darker than dry. Light use can begin.",
			Sign: "dry right through, no dark patch left", StartMin: dry, EndMin: dry + 15, Sources: []Source{CommonPractice, TCNAColor}},
	}
	if in.Place != Indoor {
		steps = append(steps, Step{Key: "seal", Name: "Seal", Do: "Seal by brush or cloth, never from a spray can, if the sealer's label agrees: some ask for 28 days.",
			Sign: "dry right through", StartMin: dry + 15, EndMin: dry + 45, Sources: []Source{Seal72, Seal28, CommonPractice}})
	}
	full := offset + days28
	return append(steps, Step{Key: "full", Name: "Final look", Do: "Nominal full strength; the colour has settled.",
		StartMin: full, EndMin: full + 15, Sources: []Source{Strength28, CommonPractice}})
}

// warmth warns outside the temperatures that grout can be worked in.
func (in *Input) warmth() []Remark {
	t, u := in.TemperatureC, in.Units
	span := u.Temperature(coolest) + " to " + u.Temperature(warmest)
	switch {
	case t < 5:
		return []Remark{{"too-cold", line("Too cold: never grout under "+u.Temperature(5)+".", FiveDegrees)}}
	case t < coolest-0.01 || t > warmest+0.01:
		return []Remark{{"temperature", line(u.Temperature(t)+" is outside "+span+", the range for grouting and curing.", A10810, HalvingRule)}}
	}
	return nil
}

// slow warns when the smallest batch worth making can't be spread in time.
func (b *Batches) slow() []Remark {
	if b.SpreadMin <= b.WindowMin+0.5 {
		return nil
	}
	return []Remark{{"batch-time", line("A batch takes about "+trim(b.SpreadMin, 0)+" minutes to spread, longer than the "+trim(b.WindowMin, 0)+
		" that warmth and pot life leave: mix less at a time, or wipe the first part before the last is spread.", Ours)}}
}

// pot warns when the bag leaves no time to spread.
func (in *Input) pot() []Remark {
	if in.PotLifeMin > 0 && in.PotLifeMin*min(1, in.factor())-stirMin-slakeMin < 10 {
		return []Remark{{"pot-life", line("The pot life leaves less than 10 minutes after stirring and slaking: mix by the bag's own steps, and little at a time.", Ours)}}
	}
	return nil
}
