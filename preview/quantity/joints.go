package quantity

import "strings"

// HardToFillMm is the width under which a joint is hard to fill, 1/16 in: no
// tile joint should ever be narrower (ANSIJoint). Mosaics are exempt, so it is
// a remark and not a fault.
const HardToFillMm = MmPerInch / 16

// FewNarrow is the share of the gaps from which narrow ones are worth a word,
// ours: a mask a pixel off makes as many.
const FewNarrow = 0.005

// LeastJoint is the narrowest joint, mm, for tiles whose sides differ by so
// many mm: three times the variation (ANSIJoint).
func LeastJoint(variationMm float64) float64 { return 3 * variationMm }

func (in *Input) jointRemarks() []Remark {
	out := append(in.narrow(), in.variation()...)
	if in.Work == Tiling {
		out = append(out, in.regional()...)
	}
	return out
}

// narrow flags gaps that are hard to fill.
func (in *Input) narrow() []Remark {
	limit := in.Units.Length(HardToFillMm)
	text := ""
	switch {
	case in.NarrowShare >= FewNarrow:
		text = percent(in.NarrowShare) + " of the gaps are under " + limit
	case in.NarrowShare < 0 && in.Joint.P90 > 0 && in.Joint.P90 < HardToFillMm && in.Joint.P10 == in.Joint.P90:
		text = "The gaps are under " + limit
	case in.NarrowShare < 0 && in.Joint.P90 > 0 && in.Joint.P90 < HardToFillMm:
		text = "Nine gaps in ten are under " + limit
	case in.NarrowShare < 0 && in.Joint.P90 > 0 && in.Joint.P50 < HardToFillMm:
		text = "More than half of the gaps are under " + limit
	case in.NarrowShare < 0 && in.Joint.P90 > 0 && in.Joint.P10 < HardToFillMm:
		text = "At least a tenth of the gaps are under " + limit
	default:
		return nil
	}
	return []Remark{{"narrow-gaps", line(text+" and hard to fill: press the grout in from several sides. Standards want no narrower joint between tiles; mosaics may.", ANSIJoint)}}
}

// variation holds the middle joint against the size variation of the tiles.
func (in *Input) variation() []Remark {
	least := LeastJoint(in.SizeVariationMm)
	if in.SizeVariationMm == 0 || in.Joint.P50 == 0 || in.Joint.P50 >= least-1e-9 {
		return nil
	}
	u := in.Units
	return []Remark{{"size-variation", line("The tiles differ by "+u.Length(in.SizeVariationMm)+", so the joint should be at least three times that, "+
		u.Length(least)+"; the middle one is "+u.Length(in.Joint.P50)+".", ANSIJoint)}}
}

// regional lists what some houses ask of wall and floor tile. The program
// doesn't know wall from floor, so it only says when the joint is under one.
func (in *Input) regional() []Remark {
	j, u := in.Joint.P50, in.Units
	if j == 0 {
		return nil
	}
	german := 2.0 // both steps of the current list begin at 2 mm
	rules := []struct {
		least  float64
		text   string
		source Source
	}{
		{1.5, "UK walls " + u.Length(1.5), NHBC}, {3, "UK floors " + u.Length(3), NHBC},
		{3, "Australian floors " + u.Length(3), AS3958}, {german, "Germany " + u.Length(german), DIN18157},
	}
	var texts []string
	var sources []Source
	for _, r := range rules {
		if j < r.least-1e-9 {
			texts = append(texts, r.text)
			if len(sources) == 0 || sources[len(sources)-1] != r.source {
				sources = append(sources, r.source)
			}
		}
	}
	if texts == nil {
		return nil
	}
	return []Remark{{"regional-joint", Line{"The joint of " + u.Length(j) + " is under what some house rules ask as a least: " + strings.Join(texts, ", ") + ".", sources}}}
}
