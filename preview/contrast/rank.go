package contrast

import (
	"cmp"
	"math"
)

// What a joint does to one tile, as 0 (not wanted) … 1 (wanted), by the HyAB
// difference between them. The words for HyAB (below 5 melts in, to 12 soft, to
// 30 clear, above graphic) and these curves are ours; no published scale exists
// for joints.
//
//	outline  a tile should stand out: nothing below soft, all of it from 40
//	balance  the joint is seen and the picture leads: clear, not graphic
//	blend    the joint disappears: best when it melts in
func wish(aim string, hyab float64) float64 {
	switch aim {
	case "outline":
		return ramp(hyab, 5, 40)
	case "blend":
		return 1 - ramp(hyab, 4, 35)
	}
	return ramp(hyab, 4, 13) * (1 - .8*ramp(hyab, 26, 65))
}

// How the score is put together; the weights add up to 1.
const (
	weightMean  = 0.65 // the tiles on average, by area
	weightWorst = 0.35 // the worst tenth of the tile area
)

// mergePenalty is the share of the score that is lost when every tile has lost
// its outline; under blend that is no loss.
const mergePenalty = 0.7

// Score rates one shade for an aim, 0…100, higher is better. areas are the tile
// areas in any unit. The same tiles give the same score in any order.
func Score(aim string, s *Stats, areas []float64) float64 {
	wishes := make([]float64, len(s.Tiles))
	total, mean := 0.0, 0.0
	for i := range s.Tiles {
		wishes[i] = wish(aim, s.Tiles[i].HyAB)
		mean += areas[i] * wishes[i]
		total += areas[i]
	}
	if total == 0 {
		return 0
	}
	score := weightMean*mean/total + weightWorst*worstTenth(wishes, areas, total)
	if aim != "blend" {
		score *= 1 - mergePenalty*s.MergingShare
	}
	return math.Round(1000*score) / 10
}

// CompareEqual orders shades of equal score by the middle tile: further off first
// where tiles should stand out, nearer first otherwise.
func CompareEqual(aim string, a, b *Stats) int {
	if aim == "outline" {
		return cmp.Compare(b.HyAB.P50, a.HyAB.P50)
	}
	return cmp.Compare(a.HyAB.P50, b.HyAB.P50)
}

// ramp goes from 0 at lo to 1 at hi.
func ramp(v, lo, hi float64) float64 { return min(max((v-lo)/(hi-lo), 0), 1) }
