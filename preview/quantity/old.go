package quantity

// An old floor or wall that is grouted already. The joint has to come out, or it is
// coloured where it is; which of the two is right depends on what nobody sees in a photo,
// so the sheet tells both and sends people to local advice.

// leastRakedMm is how deep new grout has to go to stay (common practice, no source).
const leastRakedMm = 3

// oldCautions are what raking adds; the gravest first.
func oldCautions() []Caution {
	return []Caution{
		caution("Raking dust", "silica: keep it wet or under suction, mask FFP3 or P100; local rules first",
			"Raking or cutting old joints throws up silica dust that harms the lungs. Keep it wet, or take it off at the blade with a vacuum for such dust (class M or H, or HEPA). Mask FFP3 or P100, others out of the room. Your country's rules on silica come first.", HSESilica, Masks, FromMemory),
		caution("Old layers", "asbestos or lead: have a sample tested before raking; mind cables and pipes",
			"Adhesive, screed and board from before about 2000 may hold asbestos, old glaze lead: have a sample tested before you rake, cut or sand. Find out where cables, pipes and the waterproof layer run.", FromMemory, OldGlaze),
	}
}

// oldChecks take the place of those before the first grouting.
func (in *Input) oldChecks() []Line {
	return []Line{
		line("Rake out or colour: decide first (both below, where authorities disagree), and ask a tiler near you.", CommonPractice),
		line("Raked out evenly, to two thirds of the tile's depth and never under "+in.Units.Length(leastRakedMm)+
			". New grout spread over old doesn't hold. No tile edge chipped, no waterproof layer cut.", CommonPractice),
		line("Loose or hollow tiles: tap each one. What moves or sounds hollow is laid anew first; what made it damp is mended first.", CommonPractice),
		line("Test patch: rake out and fill, or colour, a hand's length where nobody looks. Judge it dried right through.", CommonPractice, TCNAColor),
		in.porous(),
		line("Joints free of soap, wax, mould and sealer, dust vacuumed out, edges taped. Two buckets, sponges and cloths within reach, clock set.", CommonPractice),
	}
}

// rakeOrColour is the question that comes before all others on an old wall.
func rakeOrColour() Dispute {
	return Dispute{"Rake out or colour the old joint",
		line("Rake out: any shade, and a sound joint again. Slow and dusty, and edges chip.", CommonPractice),
		line("Colour: a grout colourant on the clean old joint, most easily a darker one. No dust and no mixing, but it mends no crack, takes only where no sealer is, and wears underfoot and in showers.", CommonPractice)}
}

// raked says what the amounts are for.
func (in *Input) raked() []Remark {
	t, given := in.thickness()
	out := []Remark{{"grouted", line("These joints are grouted already: the amounts are for joints raked out "+in.Units.Length(t)+
		" deep. A grout colourant needs none of them; its label says how much.", CommonPractice)}}
	if !given {
		out = append(out, Remark{"thickness", line("No depth was given; "+in.Units.Length(t)+" is taken. The amount goes with it: measure how deep the old joint is raked out.", Thickness, CommonPractice)})
	}
	return out
}
