package contrast

import (
	"cmp"
	"math"

	"gapshade/colormath"
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

// met is how far an aim is met on one tile, 0…1. Without its outline a tile neither
// stands out nor is its joint seen, however much colour is left between them.
func met(aim string, hyab float64, loses bool) float64 {
	if loses && aim != "blend" {
		return 0
	}
	return wish(aim, hyab)
}

// Terms are the parts of a score, one number each, 0…100, 100 is best.
type Terms struct {
	Tiles        float64 // how far the aim is met on the tiles, on the mean by area
	WorstCluster float64 // the same on the cluster that fares worst
	Outlines     float64 // share of the tile area that keeps its outline
	QuietGrid    float64 // how little the joints draw straight lines through the panel
	Steady       float64 // how little the whole panel turns lighter or darker
}

// weights say how much each term counts for an aim; every row adds up to 1. They
// are ours. Who wants every piece to stand out takes the grid and the change of the
// whole with it; who wants the joint to disappear loses outlines gladly, and where
// it does, there is no grid and no change.
var weights = map[string]Terms{
	//          tiles  worst  outlines  grid  steady
	"outline": {0.40, 0.30, 0.30, 0, 0},
	"balance": {0.40, 0.15, 0.30, 0.08, 0.07},
	"blend":   {0.65, 0.35, 0, 0, 0},
}

// Weights returns how much each term counts for an aim, as shares that add up to
// 1.
func Weights(aim string) Terms { return weights[aim] }

// Score is the terms' weighted mean, 0…100.
func (t Terms) Score(aim string) float64 {
	w := weights[aim]
	return w.Tiles*t.Tiles + w.WorstCluster*t.WorstCluster + w.Outlines*t.Outlines + w.QuietGrid*t.QuietGrid + w.Steady*t.Steady
}

// Limits of two terms (ours): a shift of the whole panel below a step that is
// just seen in a picture (ΔE*ab 2.5: Song, Luo, CIC 9, 2001) costs nothing, one
// of 15 L* costs all; a cluster below a hundredth of the tile area can't be the
// worst, however it fares.
const (
	shiftSeen, shiftMost = 2.5, 15.0
	leastCluster         = 0.01
)

// Terms rates one shade for an aim. The same tiles give the same terms in any
// order, but for the last bits.
func (p *Panel) Terms(aim string, shade colormath.Lab) Terms {
	if p.total == 0 {
		return Terms{}
	}
	hyab := make([]float64, len(p.Lab))
	all, kept, by := 0.0, 0.0, make([]float64, len(p.Clusters))
	for i, c := range p.Lab {
		hyab[i] = colormath.HyAB(shade, c)
		if p.area[i] == 0 {
			continue
		}
		loses := near(shade, c)
		w := p.area[i] * met(aim, hyab[i], loses)
		all += w
		by[p.Of[i]] += w
		if !loses {
			kept += p.area[i]
		}
	}
	_, worst := p.worst(by)
	return Terms{
		Tiles:        100 * all / p.total,
		WorstCluster: 100 * worst,
		Outlines:     100 * kept / p.total,
		QuietGrid:    100 * (1 - p.grid(func(i int) float64 { return hyab[i] })),
		Steady:       100 * (1 - ramp(math.Abs(p.Shift(shade)), shiftSeen, shiftMost)),
	}
}

// worst finds the cluster whose wishes, by area, are met least, and how far they
// are met.
func (p *Panel) worst(wishes []float64) (cluster int, least float64) {
	least = math.Inf(1)
	for k, c := range p.Clusters {
		if v := wishes[k] / (c.AreaShare * p.total); v < least && (c.AreaShare >= leastCluster || k == 0) {
			cluster, least = k, v
		}
	}
	return cluster, least
}

// Worst is the cluster that fares worst under a shade.
type Worst struct {
	Cluster int     // its place in Panel.Clusters
	HyAB    float64 // the middle difference between its tiles and the joint
	Loses   int     // how many of its tiles lose their outline
}

// Worst finds the cluster that fares worst for an aim.
func (p *Panel) Worst(aim string, s *Stats) Worst {
	by := make([]float64, len(p.Clusters))
	for i, k := range p.Of {
		if k >= 0 {
			by[k] += p.area[i] * met(aim, s.Tiles[i].HyAB, s.Tiles[i].Loses)
		}
	}
	if len(by) == 0 {
		return Worst{Cluster: -1}
	}
	w := Worst{}
	w.Cluster, _ = p.worst(by)
	c := p.Against(w.Cluster, s)
	w.HyAB, w.Loses = c.HyAB, c.Loses
	return w
}

// ClusterContrast is one cluster against one shade: middle tile by tile.
type ClusterContrast struct {
	DeltaL, HyAB float64 // medians
	Loses        int     // tiles that lose their outline
}

// Against holds one cluster against a shade that was measured.
func (p *Panel) Against(cluster int, s *Stats) ClusterContrast {
	var c ClusterContrast
	var dl, hy []float64
	for i, k := range p.Of {
		if k != cluster {
			continue
		}
		dl, hy = append(dl, s.Tiles[i].DeltaL), append(hy, s.Tiles[i].HyAB)
		if s.Tiles[i].Loses {
			c.Loses++
		}
	}
	c.DeltaL, c.HyAB = colormath.Median(dl), colormath.Median(hy)
	return c
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
