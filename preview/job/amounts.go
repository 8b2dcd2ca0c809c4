package job

import (
	"fmt"
	"math"
	"strings"

	"gapshade/preview/quantity"
)

// amounts is the table of quantities, from the gaps to the shopping bag.
func (n *notebook) amounts(p *quantity.Plan) []amount {
	u, pw := p.In.Units, &p.Powder
	row := func(name, value, text string, sources ...quantity.Source) amount {
		return amount{Name: name, Value: value, Text: text, Notes: n.of(sources)}
	}
	strong := func(a amount) amount { a.Strong = true; return a }
	out := []amount{
		strong(row("Buy", u.Mass(pw.Buy), buyWords(p), quantity.CommonPractice)),
		strong(n.kind(p)),
		n.share(p),
		row("In the joints", u.Mass(pw.Net), fmt.Sprintf("nothing lost, %g kg of powder per litre of joint; %s if the adhesive fills a third of the depth",
			quantity.Density(p.Choice.Kind), u.Mass(pw.Shallow)), quantity.CoverageChart, quantity.SecondMaker),
		row(fmt.Sprintf("Plus %.0f %%", 100*p.In.Allowance), u.Mass(pw.Allowed), "for waste, what walls and floors lose; 10 to 15 % is often advised", quantity.MerchantChart, quantity.CommonPractice),
		n.bench(p),
		row("Mix", batchWords(p), mixWords(p), quantity.SmallBatches, quantity.CommonPractice, quantity.Ours),
		row("In cups", cupWords(pw.Need), fmt.Sprintf("only to picture it: a US cup of powder weighs %.0f to %.0f g", 1000*quantity.CupLowKg, 1000*quantity.CupHighKg), quantity.CementDensity, quantity.Definitions),
	}
	if p.Bag.Known {
		out = append(out, row("Bag's formula", u.Mass(p.Bag.NetKg), bagWords(p), quantity.CommonPractice, quantity.Geometry))
	}
	return out
}

// kind is the word to say in the shop, and why: the grain by the measured
// joints, the class by the pieces and the place.
func (n *notebook) kind(p *quantity.Plan) amount {
	c := &p.Choice
	return amount{Name: "Ask for", Value: string(c.Kind) + ", " + strings.ReplaceAll(c.Class, " ", "\u00a0"), Text: c.Why.Text + " " + c.Note.Text,
		Notes: n.of(unique(c.Why.Sources, c.Note.Sources))}
}

// unique joins lists of sources, each once, in the order of first mention.
func unique(lists ...[]quantity.Source) (out []quantity.Source) {
	seen := map[quantity.Source]bool{}
	for _, l := range lists {
		for _, s := range l {
			if !seen[s] {
				seen[s] = true
				out = append(out, s)
			}
		}
	}
	return out
}

// share says how much of the panel is gap and how deep it is. A measured share
// is said to be measured; one from sizes is exact, and comes with the number of
// tiles so that a slip in the sizes shows.
func (n *notebook) share(p *quantity.Plan) amount {
	in, u := &p.In, p.In.Units
	a := amount{Name: "Gaps", Value: share(p.GapShare) + ", " + u.Volume(p.JointLitres+p.EdgeLitres), Notes: n.of([]quantity.Source{quantity.Geometry})}
	if p.Measured {
		a.Text = "of the panel, measured in the photo, rim included"
		if w := in.Joint; w.P90 > 0 {
			a.Text += fmt.Sprintf("; joints %s in the middle, one in ten over %s", u.Length(w.P50), u.Length(w.P90))
		}
	} else {
		a.Text = fmt.Sprintf("of the panel, exact for %s tiles with %s joints, about %s", u.Size(in.TileWMm, in.TileHMm), u.Length(in.JointMm), tiles(p.Tiles))
	}
	a.Text += "; " + depthWords(p)
	return a
}

// tiles counts tiles in words.
func tiles(n float64) string {
	if n < 1.5 {
		return "one tile"
	}
	return fmt.Sprintf("%.0f tiles", n)
}

// bench is the range that small work takes. It is printed for every job, since
// people ask why the last panel needed so much, but counts only for small ones.
func (n *notebook) bench(p *quantity.Plan) amount {
	u, pw := p.In.Units, &p.Powder
	text := "what small work really takes: most of the rest stays on bucket, tools and gloves"
	if !pw.Small {
		text = "for small mosaics; not counted here"
	}
	return amount{Name: "At the bench", Value: u.Mass(pw.Bench[0]) + " to " + u.Mass(pw.Bench[1]),
		Text:  text + fmt.Sprintf(" (%s to %s)", u.PerArea(quantity.BenchLow), u.PerArea(quantity.BenchHigh)),
		Notes: n.of([]quantity.Source{quantity.BenchGuide, quantity.SmallBatches})}
}

// buyWords says what the largest figure of the sheet is made of.
func buyWords(p *quantity.Plan) string {
	text := "of powder, all of one lot, "
	if p.Powder.Small {
		text += "for the bench's high figure or the batches, "
	} else {
		text += "for the batches, "
	}
	return text + "with " + p.In.Units.Mass(0.1) + " to keep dry for repairs"
}

// depthWords says how deep the joints were taken, and what the edge adds.
func depthWords(p *quantity.Plan) string {
	u := p.In.Units
	text := "at the full " + u.Length(p.ThicknessMm) + " of the pieces"
	if p.EdgeLitres > 0 {
		text += fmt.Sprintf("; %s of it is a thin coat %s high down the outer sides", u.Volume(p.EdgeLitres), u.Length(p.In.EdgeMm))
	}
	return text
}

// batchWords counts the mixes.
func batchWords(p *quantity.Plan) string {
	b := &p.Batches
	each := p.In.Units.Mass(b.EachKg)
	if b.Count == 1 {
		return "1 batch of " + each
	}
	return fmt.Sprintf("%d batches of %s", b.Count, each)
}

// mixWords gives the water of one mix and the time to spread it, to five
// minutes: it is a guess.
func mixWords(p *quantity.Plan) string {
	u, minutes := p.In.Units, 5*math.Ceil(p.Batches.SpreadMin/5)
	switch {
	case p.Powder.Need <= quantity.MinBatchKg:
		return fmt.Sprintf("with %s of water; spread in about %.0f minutes. Less than a pound dries out early", u.Water(p.WaterKg), minutes)
	case p.Batches.Count == 1:
		return fmt.Sprintf("with %s of water; spread in about %.0f minutes", u.Water(p.WaterKg), minutes)
	}
	return fmt.Sprintf("with %s of water each; one is spread in about %.0f minutes", u.Water(p.Batches.WaterKg), minutes)
}

// bagWords explains why the formula on many bags gives more.
func bagWords(p *quantity.Plan) string {
	return fmt.Sprintf("(L + W) / (L × W) × joint × depth counts every crossing twice: %s too much in the joints", share(p.Bag.Over))
}

// cupWords gives whole cups, or halves for small amounts: it is a rough range.
func cupWords(kg float64) string {
	lo, hi := quantity.Cups(kg)
	step := 1.0
	if hi < 4 {
		step = 0.5
	}
	lo, hi = math.Floor(lo/step)*step, math.Ceil(hi/step)*step
	if lo == 0 {
		return fmt.Sprintf("up to %g", hi)
	}
	return fmt.Sprintf("%g to %g", lo, hi)
}

// share prints a part of the whole with the digits that can be trusted.
func share(v float64) string {
	if v < 0.0995 {
		return fmt.Sprintf("%.1f %%", 100*v)
	}
	return fmt.Sprintf("%.0f %%", 100*v)
}
