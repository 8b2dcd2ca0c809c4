package quantity

import "math"

// The opening that both clocks share: stir, slake, spread.
func opening(spread int) []Step {
	const begin = stirMin + slakeMin
	return []Step{
		{Key: "mix", Name: "Stir", Do: "Water into the bucket, powder to the water, mask on. Stir until no lump is left.",
			EndMin: stirMin, Sources: []Source{Ours}},
		{Key: "slake", Name: "Let it slake", Do: "Leave the mix alone, then stir again without adding water.",
			StartMin: stirMin, EndMin: begin, Wait: true, Sources: []Source{SupplierPage, TCNAColor}},
		{Key: "spread", Name: "Spread", Do: "Press the grout into the joints from every side until they are full; scrape off the rest.",
			StartMin: begin, EndMin: begin + spread, Sources: []Source{CommonPractice, Ours}},
	}
}

// unhurried is the studio's clock: nothing after spreading until an hour after
// the start, a damp sponge well squeezed, the dry cloth at two hours. A large
// panel is spread in one go, and wiped in the order it was spread.
func unhurried(spread int, factor float64) (steps []Step, roundMin int) {
	steps = opening(spread)
	rub := min(max(10, five(float64(spread)/2)), 60)
	done := steps[2].EndMin
	sponge := max(scaled(60, factor), done+5)
	cloth := max(scaled(120, factor), sponge+rub+scaled(15, factor))
	steps = append(steps,
		Step{Key: "wait", Name: "Leave it", Do: "Nothing more. Cover what is left in the bucket.", StartMin: done, EndMin: sponge, Wait: true,
			Sources: []Source{CommonPractice}},
		Step{Key: "sponge", Name: "Damp sponge", Do: "Wipe with a damp sponge, well squeezed, rinsed often. Begin where you began to spread.",
			Sign: "firm to a light press", StartMin: sponge, EndMin: sponge + rub, Sources: []Source{CommonPractice}},
		Step{Key: "wait2", Name: "Leave it", Do: "Let the film on the pieces dry to a haze.", StartMin: sponge + rub, EndMin: cloth, Wait: true,
			Sources: []Source{CommonPractice}},
		Step{Key: "cloth", Name: "Dry cloth", Do: "Polish the haze off with a dry cloth. Days later it would take an acid.",
			Sign: "the film is dry and dusty, the joint isn't", StartMin: cloth, EndMin: cloth + rub, Sources: []Source{CommonPractice, MosaicWipes}},
	)
	return steps, cloth + rub
}

// five rounds minutes up to the next five: finer hands than that nobody keeps.
func five(minutes float64) int { return 5 * int(math.Ceil(minutes/5-1e-9)) }

// scaled is a waiting time at another temperature, min, to the nearest five; at
// least five.
func scaled(minutes, factor float64) int {
	return 5 * max(1, int(math.Round(minutes*factor/5)))
}
