package segment

import (
	"math"

	"gapshade/colormath"
)

// terms are the reasons to believe, or not, that a mask shows laid tiles; each
// 0…1, multiplied.
type terms struct {
	net    float64 // share of the gap in one connected net
	count  float64 // enough pieces of comparable size
	share  float64 // gap share as panels have it
	sure   float64 // how decided the network is
	steady float64 // gap widths that belong together
	own    float64 // a colour of their own between the pieces
	size   float64 // pieces clearly larger than the gaps between them
}

func (t terms) score() float64 {
	return t.net * t.count * t.share * t.sure * t.steady * t.own * t.size
}

// Between the floor and good there is a picture with a note; below the floor
// there is none. Set on drawn layouts and on pictures without joints.
const (
	scoreFloor = 0.35
	scoreGood  = 0.45
)

// judge measures the terms of one look, all but own.
func judge(ev *evidence, lay *layout, label []int32, size []int, speck int, widths []float64) terms {
	w, h := ev.tile.w, ev.tile.h
	gap := func(i int) bool { return lay.panel[i] && label[i] == 0 }
	runs, n := components(w, h, gap)
	gapArea, largest := 0, 0
	for _, a := range areas(runs, n)[1:] {
		gapArea += a
		largest = max(largest, a)
	}
	panel, undecided := 0, 0
	for i, in := range lay.panel {
		if in {
			panel++
			if p := ev.tile.v[i]; p > .15 && p < .85 {
				undecided++
			}
		}
	}
	if panel == 0 || gapArea == 0 {
		return terms{}
	}
	var sum, sum2 float64
	for _, a := range size[1:] {
		if a >= speck {
			sum += float64(a)
			sum2 += float64(a) * float64(a)
		}
	}
	effective := sum * sum / max(sum2, 1)
	across := math.Sqrt(sum2 / max(sum, 1)) // of a piece, the large ones counting most
	return terms{
		net:    float64(largest) / float64(gapArea),
		count:  ramp(math.Log(max(effective, 1)), math.Log(2), math.Log(12)),
		share:  sharePrior(float64(gapArea) / float64(panel)),
		sure:   1 - ramp(float64(undecided)/edgeBand(panel, gapArea, lay.gap, ev.scale), .6, 2.5),
		steady: steadiness(widths),
		size:   ramp(across/max(lay.gap, 1), 2, 5),
	}
}

// edgeBand is how many undecided pixels clean gap edges would have: two edges
// a gap, about one and a half pixels each; of an enlarged photo's own pixels, which
// show no finer edge.
func edgeBand(panel, gapArea int, gap, scale float64) float64 {
	return 3*max(scale, 1)*float64(gapArea)/max(gap, 1) + 0.01*float64(panel)
}

// sharePrior: panels have 3 to 45 % gap (tight smalti 10–15 %, small tiles with
// wide joints up to 31 %); loose layouts reach 60 %.
func sharePrior(s float64) float64 {
	return ramp(s, .01, .04) * (1 - ramp(s, .6, .85))
}

// steadiness compares the spread of the gap widths with their middle; joints
// of one panel belong together, blotches do not.
func steadiness(widths []float64) float64 {
	if len(widths) < 20 {
		return 0
	}
	lo, mid, hi := colormath.Quantile(widths, .2), colormath.Quantile(widths, .5), colormath.Quantile(widths, .8)
	return 1 - ramp((hi-lo)/max(mid, 1), .8, 2.5)
}

// ramp goes from 0 at lo to 1 at hi.
func ramp(v, lo, hi float64) float64 { return min(max((v-lo)/(hi-lo), 0), 1) }

// confidence maps the score to 0…1 with 0.8 at good.
func (ev *evidence) confidence() float64 {
	s := ev.lay.score
	c := .8 * s / scoreGood
	if s >= scoreGood {
		c = .8 + .2*ramp(s, scoreGood, 1)
	}
	return math.Round(c*1000) / 1000
}

// refuse gives the error for a photo that shows no gaps to trust, naming the
// weakest term; nil when there is something to draw. Strokes say that a person has
// seen gaps where the finder is in doubt: half the floor is enough then.
func (ev *evidence) refuse(opt Options) error {
	floor := scoreFloor
	switch {
	case opt.Strict:
		floor = scoreGood
	case len(opt.Strokes) > 0:
		floor /= 2
	}
	if ev.lay.score >= floor {
		return nil
	}
	return &NoGapsError{Confidence: ev.confidence(), Why: ev.lay.why()}
}

// why puts the weakest term in words.
func (lay *layout) why() string {
	t := lay.terms
	switch least := min(t.net, t.count, t.share, t.sure, t.steady, t.own, t.size); {
	case lay.tiles < 3 || t.count == least:
		return "no set of separate pieces stands out from a bed"
	case t.share == least:
		return "nearly all or nearly nothing of the picture would be gap"
	case t.own == least:
		return "nothing shows between the pieces that is not a mixture of their own colours, as if they were painted or lay edge to edge"
	case t.size == least:
		return "the pieces are hardly larger than the spaces between them"
	case t.sure == least:
		return "the edges between pieces and gaps are too unclear"
	case t.steady == least:
		return "what looks like gaps varies too much in width to be joints"
	}
	return "what looks like gaps doesn't hang together as joints do"
}
