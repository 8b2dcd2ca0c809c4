package quantity

// checks are ticked off before any water meets the powder.
func (in *Input) checks() []Line {
	if in.Grouted {
		out := in.oldChecks()
		if in.Work == Tiling {
			out = append(out, sealed())
		}
		return out
	}
	out := []Line{
		line("Adhesive: none above two thirds of the joint's depth (some teachers say half). Scrape it out; where it shows, the joint dries in spots.", TwoThirds, HalfWay),
		line("Loose tiles: tap and press each one. What moves now comes out under the float.", CommonPractice),
		line("Test board: the same pieces, the same powder and water, dried right through, seen where the work will hang or lie.", CommonPractice, TCNAColor),
		in.porous(),
		line("Joints brushed out, spacers out, dust off, edges taped. Two buckets, sponges and cloths within reach, clock set.", TCNAColor, CommonPractice),
	}
	if in.Material == Mixed {
		out = append(out, line("Pieces of one height? The float leaves joints beside low ones empty: fill those by hand, gloved.", Thickness, CommonPractice))
	}
	if in.Work == Tiling {
		out = append(out, sealed(),
			line("The joint is at least three times as wide as the tiles differ in size: "+in.Units.Length(MmPerInch/16)+" apart asks for "+
				in.Units.Length(LeastJoint(MmPerInch/16))+".", ANSIJoint))
	}
	return out
}

func sealed() Line {
	return line("At walls, floor edges and changes of plane: sealant, not grout.", EJ171)
}

// porous names the pieces that drink colour, as sharply as the material is known.
func (in *Input) porous() Line {
	text := "Porous pieces (unglazed, crackled, stone, terracotta): seal or use grout release now, above all under a contrasting shade."
	switch in.Material {
	case Stone, Terracotta:
		text = "These pieces drink colour: seal them or use grout release now, above all under a contrasting shade. Try it on a spare one."
	case Glass, Metal, Porcelain:
		text = "Any porous piece among them (unglazed, crackled, stone): seal or use grout release on it now."
	}
	return line(text, PorousFirst)
}

// Dispute is a question on which authorities differ; both sides are printed and
// nothing is decided silently.
type Dispute struct {
	Question   string
	One, Other Line
}

func (in *Input) disputes() []Dispute {
	u := in.Units
	chosen := map[Clock]string{in.Clock: " (printed here)"}
	out := []Dispute{{"When to wipe first",
		line("Unhurried"+chosen[Unhurried]+": not before an hour after the start, dry cloth at two hours; one bucket serves 2½ to 3 h.", CommonPractice),
		line("By touch"+chosen[ByTouch]+": 15 to 30 minutes, when a press leaves no print; pot life is 1 to 2 h, craft mixes less.", MosaicWipes, PotLifeSheet)}}
	if in.Grouted {
		out = append(out, rakeOrColour())
	}
	if one(in.Material, Glass, Mixed) {
		out = append(out, Dispute{"Sanded grout on glass",
			line("No: quartz is harder than glass and scratches it.", GlassPage),
			line("Yes, for all but hairline gaps: panels flex, and beginners' gaps are wide.", StudioSanded)})
	}
	if in.Place != Indoor {
		out = append(out, Dispute{"When to seal", line("After 72 h.", Seal72), line("Some sealers ask 28 days; the label decides.", Seal28)})
	}
	if in.TemperatureC < coolest {
		out = append(out, Dispute{"How cold is too cold", line("Under "+u.Temperature(coolest)+".", A10810),
			line("Some sheets allow "+u.Temperature(10)+"; none goes under "+u.Temperature(5)+".", WideSheet, FiveDegrees)})
	}
	return append(out, Dispute{"Powder as a sample",
		line("Dry powder sprinkled in the gaps shows the dried colour.", PowderYes),
		line("Hydrated cement dries paler than its powder; only a test board tells.", PowderNo)})
}
