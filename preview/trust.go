package preview

import (
	"image"

	"gapshade/segment"
)

// GoodConfidence is the confidence, of a panel or of a region, from which nothing
// needs saying; see segment's check and sure.
const GoodConfidence = 0.8

// noteRegions names the place where the gaps are least sure.
func (p *Proof) noteRegions() {
	m := p.Map
	weak := m.Sure.Weak(GoodConfidence)
	if len(weak) == 0 {
		return
	}
	all := 0
	for _, v := range m.Sure.Of {
		if v > 0 {
			all++
		}
	}
	where := "at the " + ninthOf(&m.Panel, weak[0].Box)
	if 2*weak[0].Cells > all {
		where = "over most of the panel"
	}
	p.note("unsure-region", "the gaps are least sure %s, with confidence %.2f there; compare gaps.png with the photo at that place, "+
		"and paint what is wrong on a copy for --marks", where, weak[0].Sure)
}

// ninthOf says in which ninth of the panel the middle of a box lies, as one looks
// at the picture.
func ninthOf(panel *segment.Quad, box image.Rectangle) string {
	lo, hi := panel[0], panel[0]
	for _, c := range panel {
		lo.X, lo.Y, hi.X, hi.Y = min(lo.X, c.X), min(lo.Y, c.Y), max(hi.X, c.X), max(hi.Y, c.Y)
	}
	third := func(lo, hi float64, a, b int) int {
		t := (float64(a+b)/2 - lo) / max(hi-lo, 1)
		return int(min(max(3*t, 0), 2))
	}
	return [3][3]string{
		{"upper left", "top", "upper right"},
		{"left", "middle", "right"},
		{"lower left", "bottom", "lower right"},
	}[third(lo.Y, hi.Y, box.Min.Y, box.Max.Y)][third(lo.X, hi.X, box.Min.X, box.Max.X)]
}
