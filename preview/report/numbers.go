package report

import (
	"gapshade/preview"
	"gapshade/preview/contrast"
)

// Cluster is tiles of much the same colour.
type Cluster struct {
	Name      string     `json:"name"`
	Where     string     `json:"where"`
	Lab       [3]float64 `json:"lab"`
	Tiles     int        `json:"tiles"`
	AreaShare float64    `json:"area_share"`
}

// View says at what distance the pattern of joints changes its look.
type View struct {
	PitchMm   float64 `json:"pitch_mm"`    // from tile to tile
	TintFromM float64 `json:"tint_from_m"` // from here on joints tint the panel rather than outline the tiles
}

// Terms are what a score is made of, 0…100 each.
type Terms struct {
	Tiles        float64 `json:"tiles"`
	WorstCluster float64 `json:"worst_cluster"`
	Outlines     float64 `json:"outlines"`
	QuietGrid    float64 `json:"quiet_grid"`
	Steady       float64 `json:"steady"`
}

// Against is one cluster against the shade, in the middle; Losing counts its tiles
// without outline.
type Against struct {
	DeltaL float64 `json:"delta_l"`
	HyAB   float64 `json:"hyab"`
	Losing int     `json:"losing"`
}

func clustersOf(p *preview.Proof) []Cluster {
	out := []Cluster{}
	if p.Panel == nil {
		return out
	}
	for _, c := range p.Panel.Clusters {
		out = append(out, Cluster{Name: c.Name, Where: c.Where, Lab: lab(c.Lab), Tiles: c.Tiles, AreaShare: round(c.AreaShare, 5)})
	}
	return out
}

func viewOf(p *preview.Proof) *View {
	mm := p.PitchMm()
	if mm == 0 {
		return nil
	}
	return &View{PitchMm: round(mm, 2), TintFromM: round(contrast.TintFrom(mm), 2)}
}

// numbersOf adds to a shade what is known of the panel as a whole.
func (s *Shade) numbersOf(p *preview.Proof, t *preview.Trial) {
	s.Terms = Terms{Tiles: round(t.Terms.Tiles, 1), WorstCluster: round(t.Terms.WorstCluster, 1),
		Outlines: round(t.Terms.Outlines, 1), QuietGrid: round(t.Terms.QuietGrid, 1), Steady: round(t.Terms.Steady, 1)}
	s.Ties = append([]string{}, t.Ties...)
	s.Clusters = []Against{}
	if p.Panel != nil && len(p.Panel.Clusters) > 0 {
		s.Worst = new(t.Worst.Cluster)
		for k := range p.Panel.Clusters {
			c := p.Panel.Against(k, &t.Stats)
			s.Clusters = append(s.Clusters, Against{DeltaL: round(c.DeltaL, 2), HyAB: round(c.HyAB, 2), Losing: c.Loses})
		}
	}
	s.GridEmphasis, s.ShiftL = round(t.Grid, 3), round(t.Shift, 2)
	s.DampLab, s.AfarLab = lab(t.Damp), lab(t.Afar)
	s.At = []Seen{}
	for _, v := range t.At {
		s.At = append(s.At, Seen{DistanceM: round(v.DistanceM, 4), Seen: spread(v.HyAB, 3), MergedGroups: v.Groups,
			MergingShare: round(v.MergingShare, 5), Pieces: v.Pieces})
	}
}
