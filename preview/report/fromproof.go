package report

import (
	"math"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/segment"
)

// FromProof fills a report. files gives the names of each shade's pictures by
// id; a shade that is not in it has none.
func FromProof(p *preview.Proof, files map[string]Files) Report {
	r := Report{
		Schema: SchemaID,
		Photo: Photo{Name: p.Photo.Name, Width: p.Photo.W, Height: p.Photo.H,
			Format: p.Photo.Format, Profile: p.Photo.Profile, SHA256: p.Photo.SHA256},
		Frame:  frameOf(p),
		Light:  Light{BedLab: lab(p.Light.BedLab), Unevenness: round(p.Light.Unevenness, 4), Cast: round3(p.Light.Cast, 4)},
		Gaps:   gapsOf(p),
		Joint:  jointOf(&p.Settings.Joint),
		Tiles:  tilesOf(p),
		Shades: []Shade{},

		Clusters: clustersOf(p), View: viewOf(p),
		Notes: []Note{},
	}
	if s := p.Second; s != nil {
		r.Second = &Photo{Name: s.Name, Width: s.W, Height: s.H, Format: s.Format, Profile: s.Profile, SHA256: s.SHA256}
	}
	for i := range p.Trials {
		r.Shades = append(r.Shades, shadeOf(p, &p.Trials[i], files))
	}
	for _, n := range p.Notes {
		r.Notes = append(r.Notes, Note(n))
	}
	return r
}

func frameOf(p *preview.Proof) Frame {
	f := Frame{Width: p.Frame.W, Height: p.Frame.H, Outline: pointsOf(p.Frame.Outline), Shape: FourCorners}
	if p.Frame.Free {
		f.Shape = FreeOutline
	}
	for _, hole := range p.Frame.Holes {
		f.Holes = append(f.Holes, pointsOf(hole))
	}
	for i, v := range p.Frame.PhotoToFrame {
		f.PhotoToFrame[i] = significant(v, 12)
	}
	if p.Frame.MmPerPx > 0 {
		f.MmPerPx = new(significant(p.Frame.MmPerPx, 6))
	}
	for i, c := range p.Frame.Panel {
		f.Panel[i] = point(c)
	}
	return f
}

func pointsOf(pts []segment.Point) [][2]float64 {
	out := [][2]float64{}
	for _, p := range pts {
		out = append(out, point(p))
	}
	return out
}

func gapsOf(p *preview.Proof) Gaps {
	g := Gaps{Method: "one photo", Confidence: round(p.Map.Confidence, 3), Share: round(p.Map.GapShare, 5)}
	if p.Panel != nil {
		g.Channels = round(p.Panel.Channels, 3)
	}
	if p.Second != nil {
		g.Method = "two photos"
	}
	mm := p.Frame.MmPerPx
	if mm > 0 {
		g.AreaMm2 = new(round(p.GapArea(), 1))
	}
	for _, w := range p.Map.Sure.Weak(preview.GoodConfidence) {
		g.Weak = append(g.Weak, Weak{
			Box:        [4]float64{float64(w.Box.Min.X), float64(w.Box.Min.Y), float64(w.Box.Max.X), float64(w.Box.Max.Y)},
			Confidence: round(w.Sure, 3)})
	}
	switch w := p.Map.GapWidthPx; {
	case math.IsNaN(w.P10 + w.P50 + w.P90):
	case mm > 0:
		g.WidthMm = new(spread(colormath.Spread{P10: w.P10 * mm, P50: w.P50 * mm, P90: w.P90 * mm}, 3))
	default:
		g.WidthPx = new(spread(w, 2))
	}
	return g
}

func tilesOf(p *preview.Proof) Tiles {
	areas := make([]float64, len(p.Map.Tiles))
	for i := range areas {
		areas[i] = p.TileArea(i)
	}
	t := Tiles{Count: len(areas), Cut: new(p.Map.CutTiles())}
	if p.Panel != nil {
		t.Burnt = p.Panel.BurntTiles()
	}
	if len(areas) == 0 {
		return t
	}
	s := new(spread(colormath.SpreadOf(areas), 2))
	if p.Frame.MmPerPx > 0 {
		t.AreaMm2 = s
	} else {
		t.AreaPx = s
	}
	return t
}

func shadeOf(p *preview.Proof, t *preview.Trial, files map[string]Files) Shade {
	s := Shade{
		ID: t.Shade.ID, Depth: t.Shade.Depth, Cast: t.Shade.Cast, Lab: lab(t.Shade.Lab),
		Rank: t.Rank, Score: round(t.Score, 1), Reason: t.Reason,
		Contrast:     Contrast{DeltaL: spread(t.DeltaL, 3), HyAB: spread(t.HyAB, 3), DE00: spread(t.DE00, 3)},
		MergingShare: round(t.MergingShare, 5),
		Merged:       Merged{Groups: t.Groups, LargestShare: round(t.LargestShare, 5), Pieces: t.Pieces},
	}
	s.numbersOf(p, t)
	if f, ok := files[s.ID]; ok {
		s.Files = &f
	}
	return s
}

// Numbers are rounded here, once: finer digits are not known, and equal
// reports stay equal where processors differ in the last bit.

func round(v float64, decimals int) float64 {
	k := math.Pow10(decimals)
	r := math.Round(v*k) / k
	if r == 0 {
		return 0 // never "-0"
	}
	return r
}

// significant keeps so many digits, for numbers whose size is not known.
func significant(v float64, digits int) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	k := math.Pow10(digits - 1 - int(math.Floor(math.Log10(math.Abs(v)))))
	if math.IsInf(k, 0) {
		return v
	}
	return math.Round(v*k) / k
}

func round3(v [3]float64, decimals int) [3]float64 {
	return [3]float64{round(v[0], decimals), round(v[1], decimals), round(v[2], decimals)}
}

func lab(c colormath.Lab) [3]float64 { return round3([3]float64{c.L, c.A, c.B}, 3) }

func spread(s colormath.Spread, decimals int) Spread {
	return Spread{P10: round(s.P10, decimals), P50: round(s.P50, decimals), P90: round(s.P90, decimals)}
}

func point(p segment.Point) [2]float64 { return [2]float64{round(p.X, 2), round(p.Y, 2)} }
