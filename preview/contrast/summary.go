package contrast

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// worstTenth is the mean wish over the tenth of the tile area that fares worst.
func worstTenth(wishes, areas []float64, total float64) float64 {
	order := make([]int, len(wishes))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(wishes[a], wishes[b]), cmp.Compare(areas[a], areas[b]))
	})
	left, sum := .1*total, 0.0
	for _, i := range order {
		part := min(areas[i], left)
		sum += part * wishes[i]
		if left -= part; left <= 0 {
			break
		}
	}
	return sum / (.1 * total)
}

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

// Reason says in one plain sentence why the shade stands where it stands.
// better is the shade ranked just above, nil for the first.
func Reason(aim string, s *Stats, better *Stats, betterID string) string {
	text := side(s) + ", " + strength(s) + "; " + merging(s)
	if better != nil {
		if d := behind(aim, s, better, betterID); d != "" {
			text += "; " + d
		}
	}
	return text + "."
}

// side says whether the joint is lighter or darker than the tiles.
func side(s *Stats) string {
	lighter := 0
	for i := range s.Tiles {
		if s.Tiles[i].DeltaL > 0 {
			lighter++
		}
	}
	n := len(s.Tiles)
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

// behind names what the shade above does better: outlines kept, where that
// differs; else how much further from, or nearer to, the middle tile this one
// stands, when that is the way the aim does not want; else nothing is named,
// because the difference lies in the tiles at the ends.
func behind(aim string, s, better *Stats, id string) string {
	if d := s.MergingShare - better.MergingShare; aim != "blend" && d >= .02 {
		return fmt.Sprintf("%s keeps the outline of %s more", id, percent(d))
	}
	d := s.HyAB.P50 - better.HyAB.P50
	if math.Abs(d) < 1.5 {
		return "close to " + id
	}
	if wish(aim, s.HyAB.P50) >= wish(aim, better.HyAB.P50) {
		return fmt.Sprintf("%s does more for the tiles that fare worst", id)
	}
	if d > 0 {
		return fmt.Sprintf("stands %.0f further from the middle tile than %s", d, id)
	}
	return fmt.Sprintf("stands %.0f nearer to the middle tile than %s", -d, id)
}
