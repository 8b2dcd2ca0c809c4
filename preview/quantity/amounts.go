package quantity

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Amount is one line of the table of quantities in words: a figure in the
// person's units, what it is, and where it comes from. The sheet, the report and
// the terminal print the same ones.
type Amount struct {
	Name, Value string
	Text        string // what the figure means
	Sources     []Source
	Strong      bool // what to take to the shop
}

// Amounts is the table of quantities, from the shopping bag to the gaps.
func (p *Plan) Amounts() []Amount {
	u, pw := p.In.Units, &p.Powder
	row := func(name, value, text string, sources ...Source) Amount {
		return Amount{Name: name, Value: value, Text: text, Sources: sources}
	}
	out := []Amount{
		{"Buy", u.Mass(pw.Buy), buyWords(p), []Source{CommonPractice}, true},
		p.askFor(),
		p.gapWords(),
		row("In the joints", u.Mass(pw.Net), p.netWords(), CoverageChart, SecondMaker),
		row(fmt.Sprintf("Plus %.0f %%", 100*p.In.Allowance), u.Mass(pw.Allowed), "for waste, what walls and floors lose; 10 to 15 % is often advised", MerchantChart, CommonPractice),
		p.benchWords(),
		row("Mix", batchWords(p), mixWords(p), SmallBatches, CommonPractice, Ours),
		row("In cups", cupWords(pw.Need), fmt.Sprintf("only to picture it: a US cup of powder weighs %s to %s", u.Mass(CupLowKg), u.Mass(CupHighKg)), CementDensity, Definitions),
	}
	if p.Bag.Known {
		out = append(out, row("Bag's formula", u.Mass(p.Bag.NetKg), bagWords(p), CommonPractice, Geometry))
	}
	return out
}

func (p *Plan) netWords() string {
	u, text := p.In.Units, "nothing lost, "
	text += u.PerVolume(Density(p.Choice.Kind)) + " of joint"
	if p.In.Grouted { // what is left of the old joint is below the depth
		return text
	}
	return text + "; " + u.Mass(p.Powder.Shallow) + " if the adhesive fills a third of the depth"
}

// askFor is the word to say in the shop, and why: the grain by the measured
// joints, the class by the pieces and the place.
func (p *Plan) askFor() Amount {
	c := &p.Choice
	return Amount{"Ask for", string(c.Kind) + ", " + strings.ReplaceAll(c.Class, " ", "\u00a0"), c.Why.Text + " " + c.Note.Text,
		unique(c.Why.Sources, c.Note.Sources), true}
}

// unique joins lists of sources, each once, in the order of first mention.
func unique(lists ...[]Source) (out []Source) {
	for _, l := range lists {
		for _, s := range l {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}

// gapWords says how much of the panel is gap and how deep it is. A measured share
// is said to be measured; one from sizes is exact, and comes with the number of
// tiles so that a slip in the sizes shows.
func (p *Plan) gapWords() Amount {
	in, u := &p.In, p.In.Units
	a := Amount{Name: "Gaps", Value: percent(p.GapShare) + ", " + u.Volume(p.JointLitres+p.EdgeLitres), Sources: []Source{Geometry}}
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

// benchWords is the range that small work takes. It is printed for every job, since
// people ask why the last panel needed so much, but counts only for small ones.
func (p *Plan) benchWords() Amount {
	u, pw := p.In.Units, &p.Powder
	text := "what small work really takes: most of the rest stays on bucket, tools and gloves"
	if !pw.Small {
		text = "for small mosaics; not counted here"
	}
	return Amount{Name: "At the bench", Value: u.Mass(pw.Bench[0]) + " to " + u.Mass(pw.Bench[1]),
		Text:    text + fmt.Sprintf(" (%s to %s)", u.PerArea(BenchLow), u.PerArea(BenchHigh)),
		Sources: []Source{BenchGuide, SmallBatches}}
}

// buyWords says what the largest figure of the sheet is made of.
func buyWords(p *Plan) string {
	text := "of powder, all of one lot, "
	if p.Powder.Small {
		text += "for the bench's high figure or the batches, "
	} else {
		text += "for the batches, "
	}
	return text + "with " + p.In.Units.Mass(keepKg) + " to keep dry for repairs"
}

// depthWords says how deep the joints were taken, and what the edge adds.
func depthWords(p *Plan) string {
	u := p.In.Units
	text := "at the full " + u.Length(p.ThicknessMm) + " of the pieces"
	if p.In.Grouted {
		text = "raked out " + u.Length(p.ThicknessMm) + " deep"
	}
	if p.EdgeLitres > 0 {
		text += fmt.Sprintf("; %s of it is a thin coat %s high down the outer sides", u.Volume(p.EdgeLitres), u.Length(p.In.EdgeMm))
	}
	return text
}

// batchWords counts the mixes.
func batchWords(p *Plan) string {
	b := &p.Batches
	each := p.In.Units.Mass(b.EachKg)
	if b.Count == 1 {
		return "1 batch of " + each
	}
	return fmt.Sprintf("%d batches of %s", b.Count, each)
}

// mixWords gives the water of one mix and the time to spread it, to five
// minutes: it is a guess.
func mixWords(p *Plan) string {
	u, minutes := p.In.Units, 5*math.Ceil(p.Batches.SpreadMin/5)
	switch {
	case p.Powder.Need <= MinBatchKg:
		return fmt.Sprintf("with %s of water; spread in about %.0f minutes. A smaller mix dries out early", u.Water(p.WaterKg), minutes)
	case p.Batches.Count == 1:
		return fmt.Sprintf("with %s of water; spread in about %.0f minutes", u.Water(p.WaterKg), minutes)
	}
	return fmt.Sprintf("with %s of water each; one is spread in about %.0f minutes", u.Water(p.Batches.WaterKg), minutes)
}

// bagWords explains why the formula on many bags gives more.
func bagWords(p *Plan) string {
	return fmt.Sprintf("(L + W) / (L × W) × joint × depth counts every crossing twice and divides by the tile alone, not tile and joint: %s too much in the joints", percent(p.Bag.Over))
}

// cupWords gives whole cups, or halves for small amounts: it is a rough range.
func cupWords(kg float64) string {
	lo, hi := Cups(kg)
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
