package quantity

// Caution is one boxed line: what can go wrong, in two or three words, and what
// to do about it; Brief is the same for a narrow screen.
type Caution struct {
	Head, Brief string
	Line
}

// Overrule stands above everything that the sheet prints.
const Overrule = "The bag and its safety sheet overrule everything on this page, and so do local code and the licensed trade."

func caution(head, brief, text string, sources ...Source) Caution {
	return Caution{head, brief, line(text, sources...)}
}

// cautions are short, the gravest first; the last few depend on the job.
func (in *Input) cautions() []Caution {
	var out []Caution
	if in.Grouted {
		out = oldCautions()
	}
	out = append(out,
		caution("Dust", "mask on to mix and to clean up, N95 or FFP2 at least; wipe wet",
			"Dry powder holds silica that harms the lungs. Mask on to mix and to clean up: N95 or FFP2 at least, P100 or FFP3 better, on a shaven face. Wipe wet; never sweep dry.", HSESilica, Masks),
		caution("Skin and eyes", "alkali-proof gloves, goggles, long sleeves; wet cement burns",
			"Wet cement burns, often without pain at first, and its chromium VI can bring a lasting allergy: check the date on the bag. Alkali-proof gloves (not leather), goggles, long sleeves; never kneel in it.", HSECement, ChromiumLaw),
		caution("First aid", "running water, 20 minutes or more; eyes: a doctor at once",
			"Powder: brush it off. Then running water, 20 minutes or more, rings and wet clothes off. Eyes: rinse at least 10 to 15 minutes and see a doctor at once. Wash with pH-neutral soap.", FirstAid, OSHACement),
		caution("Drains", "no wash water into any drain; let it settle, harden, and bin it",
			"No wash water into sink, gutter or drain: it is near pH 12, and it sets in the pipe. Let it settle in a bucket, harden, and bin it.", EPADrains, HSECement),
		caution("Children", "an adult mixes the powder",
			"Twelve and under can't be relied on with it: an adult mixes the powder, and children only see it wet and gloved, or not at all.", OEHHA),
		caution("Sealer", "by brush or cloth in open air, never from a spray can",
			"Brush or cloth, in open air, no flame. Never from a spray can: of 96 people in one poisons series 88 had used one.", SprayStudy),
		caution("Stains", "dark grout stains hands and porous tile: gloves, and seal first",
			"Dark grout stains hands and porous tile. Gloves, and seal porous pieces first.", ClayStains),
	)
	if !in.Grouted && one(in.Material, Glazed, Mixed, Terracotta) {
		out = append(out, caution("Old tile", "old glaze may hold lead: nip it wet, make no dust",
			"Old glaze may hold lead: nip it wet, make no dust, keep it from food and children.", OldGlaze))
	}
	return append(out, in.placeCautions()...)
}

func (in *Input) placeCautions() (out []Caution) {
	switch in.Place {
	case Outdoor:
		out = append(out, caution("Frost", "no tile is frost-proof; full bedding, drainage, licensed trade",
			"No tile is frost-proof: water in joints and hollows breaks it. Full bedding, drainage, a sealed back. Façades and structures belong to local code and the licensed trade.", FrostPages))
	case Wet:
		out = append(out, caution("Wet places", "grout keeps no water out; licensed trade",
			"Grout keeps no water out. Showers and pools need their own waterproofing: local code and the licensed trade.", CommonPractice))
	}
	if in.Work == Tiling {
		out = append(out, caution("Floors", "slip and strength are not judged here; licensed trade",
			"Nothing here says whether a floor is safe to walk on or strong enough: ask for a slip test and the licensed trade.", SlipTests))
	}
	return out
}
