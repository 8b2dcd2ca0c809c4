package quantity

import "fmt"

// byTouch is the tiler's clock: the first wipe 15–30 min after spreading began,
// when a press leaves no print, again after 15 min, and the dry cloth last. The
// cloth falls into the slaking of the next batch, so that a new round can begin
// right after the second wipe; in the cold it takes longer and the round waits.
func byTouch(spread int, factor float64) (steps []Step, roundMin int) {
	steps = opening(spread)
	begin, done := steps[2].StartMin, steps[2].EndMin
	rub, again := min(five(float64(spread)/2), 15), min(five(float64(spread)/3), 10)
	wipe := max(begin+scaled(20, factor), done)
	rewipe := wipe + rub + scaled(15, factor)
	cloth := rewipe + again + scaled(float64(stirMin+slakeMin-again), factor)
	if wipe > done {
		steps = append(steps, Step{Key: "wait", Name: "Leave it", Do: "Press with a finger now and then; don't wipe early.", StartMin: done, EndMin: wipe, Wait: true,
			Sources: []Source{CommonPractice, MosaicWipes}})
	}
	steps = append(steps,
		Step{Key: "wipe", Name: "First wipe", Do: fmt.Sprintf("%d to %d min after spreading began: across the joints with a damp sponge, well squeezed, in the order you spread.", scaled(15, factor), scaled(30, factor)),
			Sign: "a light press leaves no print and the finger comes off clean", StartMin: wipe, EndMin: wipe + rub,
			Sources: []Source{CommonPractice, MosaicWipes}},
		Step{Key: "wait2", Name: "Leave it", Do: "Rinse the sponge and the bucket water into a settling bucket.", StartMin: wipe + rub, EndMin: rewipe, Wait: true,
			Sources: []Source{MosaicWipes}},
		Step{Key: "rewipe", Name: "Second wipe", Do: "Once more with a nearly dry sponge.", StartMin: rewipe, EndMin: rewipe + again,
			Sources: []Source{MosaicWipes}},
		Step{Key: "cloth", Name: "Dry cloth", Do: "Polish the haze off with a dry cloth. Days later it would take an acid.",
			Sign: "the film is dry and dusty", StartMin: cloth, EndMin: cloth + again, Sources: []Source{MosaicWipes}},
	)
	next := rewipe + again
	if cloth < next+stirMin || cloth+again > next+stirMin+slakeMin {
		next = cloth + again
	}
	return steps, next
}
