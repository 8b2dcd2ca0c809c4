package preview

import (
	"math"

	"gapshade/preview/light"
)

// Below this many px the network guesses at gaps (measured on drawn layouts:
// F1 falls off under two px).
const fewPxPerGap = 2.5

// Proportions of a free outline are told by its box alone, which a camera 30° off
// straight above shortens by 1/cos 30° = 1.15 (ours).
const oddBox = 1.15

// Wider or narrower than any panel seen: tight smalti come down to 3 %, loose
// work with wide joints up to 45 % (ours).
const leastShare, mostShare = 0.03, 0.45

// noteMap says what was assumed about the panel and how sure the gaps are.
func (p *Proof) noteMap() {
	m := p.Map
	for _, n := range p.Photo.Notes {
		p.note(n.Code, "%s", n.Text)
	}
	switch {
	case p.Settings.Corners != nil:
	case m.WholePicture:
		p.note("panel-whole", "no outline of a panel stood out, so the whole picture was taken as the panel; --corners sets it")
	case m.Free:
		p.note("panel-free", "the panel was found in the photo: the laid tiles and a shoulder round them; its outline is free, without four corners, so --size means the box round it, with sides along those of the photo")
		p.noteBox()
	default:
		p.note("panel-found", "the panel was found in the photo: the laid tiles and a shoulder round them; --corners sets it exactly")
	}
	p.notePair()
	if p.Frame.MmPerPx == 0 {
		job := p.Settings.Job
		kg, thick := job.PerM2(m.GapShare)
		p.note("no-size", "the panel's size was not given, so lengths are in pixels and there is no job sheet; --size gives millimetres, how much grout to buy, and the sheet (pieces %s thick take about %s of powder in such joints)",
			job.Units.Length(thick), job.Units.PerArea(kg))
	}
	if m.Confidence < GoodConfidence {
		p.note("unsure", "the gaps were found with confidence %.2f only; look at gaps.png before trusting the numbers", m.Confidence)
	}
	p.noteRegions()
	if w := m.GapWidthPx.P50; w < fewPxPerGap {
		p.note("few-pixels", "the middle gap is only %.1f px wide; a closer or larger photo tells more", w)
	}
	if s := m.GapShare; s < leastShare || s > mostShare {
		p.note("gap-share", "%.0f %% of the panel is gap, outside the usual %.0f to %.0f %%; check the corners and gaps.png", 100*s, 100*leastShare, 100*mostShare)
	}
	if n := m.CutTiles(); n > 0 {
		p.note("cut-tiles", "%d of %d tiles are cut by the edge of the panel or of the picture, and each is counted as one", n, len(m.Tiles))
	}
}

// noteBox compares the proportions of a free outline's box with the size. A slanting
// camera does not excuse a difference as it may with corners, so there is nothing to do
// but to tell.
func (p *Proof) noteBox() {
	s, q := &p.Settings, p.Map.Panel
	if s.WidthMm == 0 || s.HeightMm == 0 {
		return
	}
	said, seen := s.WidthMm/s.HeightMm, (q[1].X-q[0].X)/(q[3].Y-q[0].Y)
	if math.Exp(math.Abs(math.Log(said/seen))) > oddBox {
		p.note("size-shape", "--size says %.2f to 1, the photo shows %.2f to 1; check that width and height aren't swapped and that the photo was taken from above", said, seen)
	}
}

// noteLight says what the light reading stands on.
func (p *Proof) noteLight(r light.Reading) {
	switch {
	case r.Samples == 0:
		p.note("no-bed", "too little bed shows to read the light, so it was taken as even")
	case !r.Known:
		p.note("bed-unknown", "the bed's colour was not given, so the photo's own exposure was kept and only the shape of the light was taken from the bed; --bed white (or grey, black, #rrggbb) makes the grout's lightness absolute")
	}
	// Two stops over the panel: from there on one exposure no longer fits both ends.
	if r.Unevenness > 1.2 {
		p.note("uneven-light", "the light varies by %.0f %% over the panel; a softer, more even light tells more", 100*math.Min(r.Unevenness, 9))
	}
}
