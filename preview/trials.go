package preview

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gapshade/colormath"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/light"
)

// measure reads the tiles and prepares what every shade is held against.
func (p *Proof) measure(pic *colormath.Picture, field *light.Field) {
	s := &p.Settings
	var burnt []bool
	p.TileLab, burnt = contrast.TileColours(pic, p.Map, field, s.Threads)
	var deeper []colormath.Lab
	var beside sync.WaitGroup // a panel is mostly made by one thread
	beside.Go(func() { deeper = contrast.DeeperColours(pic, p.Map, field, s.Threads) })
	p.Panel = contrast.NewPanel(p.Map, p.TileLab, burnt, s.Threads)
	beside.Wait()
	var bed *colormath.Lab
	if s.Bed.Known {
		bed = &s.Bed.Lab
	}
	p.doubt = contrast.NewDoubt(p.Panel, light.Doubt(bed), deeper)
}

// noteBurnt says how many tiles count nowhere.
func (p *Proof) noteBurnt() {
	if n := p.Panel.BurntTiles(); n > 0 {
		p.note("burnt-tiles", "%d of %d tiles are burnt out by glare; their colour is not known and they count in no number", n, len(p.TileLab))
	}
}

// PitchMm is the middle distance from tile to tile, mm; 0 when the scale is not
// known.
func (p *Proof) PitchMm() float64 {
	if p.Panel == nil {
		return 0
	}
	return p.Panel.PitchPx() * p.Frame.MmPerPx
}

// try measures every shade and ranks them, best first.
func try(p *Proof, s Settings) []Trial {
	r := &ranking{panel: p.Panel, aim: string(s.Aim), again: map[string]contrast.Again{}}
	r.trials = make([]Trial, len(s.Shades))
	again := make([]contrast.Again, len(s.Shades))
	colormath.Rows(len(r.trials), s.Threads, func(a, b int) {
		for i := a; i < b; i++ {
			r.trials[i] = p.tried(s.Shades[i], r.aim)
			again[i] = p.doubt.Score(r.aim, s.Shades[i].Lab)
		}
	})
	for i := range again {
		r.again[s.Shades[i].ID] = again[i]
	}
	r.rank()
	return r.trials
}

// tried measures one shade.
func (p *Proof) tried(shade grout.Shade, aim string) Trial {
	t := Trial{Shade: shade, Stats: p.Panel.Measure(shade.Lab), Terms: p.Panel.Terms(aim, shade.Lab)}
	t.Score = math.Round(10*t.Terms.Score(aim)) / 10
	t.Worst = p.Panel.Worst(aim, &t.Stats)
	t.Damp = colormath.Water.Damp(shade.Lab.LinearRGB()).Lab()
	t.At = p.seen(shade.Lab)
	return t
}

// seen is what is left of a shade from each distance.
func (p *Proof) seen(shade colormath.Lab) (at []contrast.Seen) {
	for k := range p.views {
		at = append(at, p.views[k].Measure(shade))
	}
	return at
}

// ranking is shades that were measured, on the way to their order.
type ranking struct {
	panel  *contrast.Panel
	aim    string
	trials []Trial
	again  map[string]contrast.Again // by shade id
}

// rank orders the shades and says why each stands where it stands. Shades of equal
// score are ordered by the middle tile and then by their ids, so that the order in
// which they were given does not show.
func (r *ranking) rank() {
	slices.SortFunc(r.trials, func(a, b Trial) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), contrast.CompareEqual(r.aim, &a.Stats, &b.Stats), cmp.Compare(a.Shade.ID, b.Shade.ID))
	})
	for i := range r.trials {
		t := &r.trials[i]
		t.Rank = i + 1
		for k := range r.trials {
			if k != i && r.close(t, &r.trials[k]) {
				t.Ties = append(t.Ties, r.trials[k].Shade.ID)
			}
		}
		var better *contrast.Rival
		if i > 0 {
			b := &r.trials[i-1]
			better = &contrast.Rival{ID: b.Shade.ID, Terms: b.Terms, Close: r.close(t, b)}
		}
		t.Reason = r.panel.Reason(r.aim, &t.Stats, t.Terms, better)
	}
}

func (r *ranking) close(a, b *Trial) bool {
	return contrast.TooClose(a.Score, b.Score, r.again[a.Shade.ID], r.again[b.Shade.ID])
}

// noteTies warns when the first choice is not clearly the first.
func (p *Proof) noteTies() {
	if len(p.Trials) == 0 || len(p.Trials[0].Ties) == 0 {
		return
	}
	first := &p.Trials[0]
	p.note("too-close", "%s is too close to %s to call: the photo tells their scores no finer; choose between them by eye, on samples that have dried", first.Shade.ID, listed(first.Ties))
}

// listed joins words as a sentence does: a, b and c.
func listed(words []string) string {
	out := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			out += " and "
		default:
			out += ", "
		}
		out += w
	}
	return out
}
