package contrast

import "fmt"

// Word names a HyAB difference between joint and tile.
func Word(hyab float64) string {
	switch {
	case hyab < 5:
		return "melts in"
	case hyab < 12:
		return "soft"
	case hyab <= 30:
		return "clear"
	}
	return "graphic"
}

// Rival is the shade ranked just above another.
type Rival struct {
	ID    string
	Terms Terms
	Close bool // too close to call
}

// Reason says in one plain sentence why a shade with these terms stands where it
// stands. better is nil for the first.
func (p *Panel) Reason(aim string, s *Stats, t Terms, better *Rival) string {
	text := p.side(s) + ", " + strength(s)
	if w := p.hardest(aim, s); w != "" {
		text += "; " + w
	}
	text += "; " + merging(s)
	if better != nil {
		text += "; " + behind(aim, t, better)
	}
	return text + "."
}

// side says whether the joint is lighter or darker than the tiles.
func (p *Panel) side(s *Stats) string {
	lighter, n := 0, 0
	for i := range s.Tiles {
		if p.Burnt[i] {
			continue
		}
		n++
		if s.Tiles[i].DeltaL > 0 {
			lighter++
		}
	}
	switch share := float64(lighter) / float64(max(n, 1)); {
	case share >= .995:
		return "Lighter than every tile"
	case share >= .9:
		return "Lighter than nearly every tile"
	case share > .5:
		return fmt.Sprintf("Lighter than %.0f %% of the tiles", 100*share)
	case share <= .005:
		return "Darker than every tile"
	case share <= .1:
		return "Darker than nearly every tile"
	default:
		return fmt.Sprintf("Darker than %.0f %% of the tiles", 100*(1-share))
	}
}

// strength puts the middle difference in words.
func strength(s *Stats) string {
	lo, hi := Word(s.HyAB.P10), Word(s.HyAB.P90)
	if lo == hi {
		return fmt.Sprintf("the joint is %s against nearly all of them (HyAB %.0f in the middle)", adjective(lo), s.HyAB.P50)
	}
	return fmt.Sprintf("the joint runs from %s to %s (HyAB %.0f to %.0f, %.0f in the middle)", adjective(lo), adjective(hi), s.HyAB.P10, s.HyAB.P90, s.HyAB.P50)
}

func adjective(word string) string {
	if word == "melts in" {
		return "hardly seen"
	}
	return word
}

// hardest names the cluster that fares worst, where there is more than one.
func (p *Panel) hardest(aim string, s *Stats) string {
	if len(p.Clusters) < 2 {
		return ""
	}
	w := p.Worst(aim, s)
	c := &p.Clusters[w.Cluster]
	text := fmt.Sprintf("%s %s (HyAB %.0f", c.Phrase(), worstVerb(aim, &w), w.HyAB)
	if aim != "blend" && w.Loses > 0 {
		text += fmt.Sprintf(", %s without outline", of(w.Loses, c.Tiles))
	}
	return text + ")"
}

// worstVerb says in what way a cluster fares worst: under blend and balance it
// may be the one that stands out.
func worstVerb(aim string, w *Worst) string {
	if aim == "blend" || aim == "balance" && w.HyAB > 26 && w.Loses == 0 {
		return "stand out most"
	}
	return "hold least"
}

func of(n, all int) string {
	if n == all {
		return "all"
	}
	return fmt.Sprintf("%d", n)
}

// merging says what is lost.
func merging(s *Stats) string {
	if s.MergingShare < .005 {
		return "every tile keeps its outline"
	}
	text := fmt.Sprintf("%s of the tile area loses its outline", percent(s.MergingShare))
	switch {
	case s.Groups == 1:
		text += fmt.Sprintf(", one group of %s reads as a single tile", percent(s.LargestShare))
	case s.Groups > 1:
		text += fmt.Sprintf(", %d groups merge, the largest %s", s.Groups, percent(s.LargestShare))
	}
	return text
}

func percent(share float64) string {
	if share < .1 {
		return fmt.Sprintf("%.1f %%", 100*share)
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// behind names the term in which the shade above gains most.
func behind(aim string, t Terms, better *Rival) string {
	if better.Close {
		return "too close to " + better.ID + " to call"
	}
	w, b := weights[aim], better.Terms
	text, most := "", 0.0
	for _, term := range []struct {
		gain float64
		text string
	}{
		{w.Tiles * (b.Tiles - t.Tiles), better.ID + " suits the tiles better on the whole"},
		{w.WorstCluster * (b.WorstCluster - t.WorstCluster), better.ID + " does more for the tiles that fare worst"},
		{w.Outlines * (b.Outlines - t.Outlines), fmt.Sprintf("%s keeps the outline of %s more", better.ID, percent((b.Outlines-t.Outlines)/100))},
		{w.QuietGrid * (b.QuietGrid - t.QuietGrid), better.ID + " draws less of a grid"},
		{w.Steady * (b.Steady - t.Steady), better.ID + " changes the lightness of the whole less"},
	} {
		if term.gain > most {
			text, most = term.text, term.gain
		}
	}
	return text
}
