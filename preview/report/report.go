package report

import (
	"cmp"
	"math"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/quantity"
	"gapshade/segment"
)

// SchemaID names this version of the report. Within it fields are only added.
const SchemaID = "gapshade.report/1"

// Report mirrors report.json, field by field and in its order.
type Report struct {
	Schema string `json:"schema"`
	Photo  Photo  `json:"photo"`
	Second *Photo `json:"second_photo,omitempty"` // only with two photos
	Frame  Frame  `json:"frame"`
	Light  Light  `json:"light"`
	Gaps   Gaps   `json:"gaps"`
	Joint  Joint  `json:"joint"`
	Tiles  Tiles  `json:"tiles"`

	Clusters []Cluster `json:"clusters"` // largest first
	View     *View     `json:"view"`     // null without a size

	Shades []Shade         `json:"shades"`        // best first
	Job    *quantity.Block `json:"job,omitempty"` // the rest of the job; absent without a size
	Notes  []Note          `json:"notes"`
}

// Photo is the file that was read; width and height are upright, px.
type Photo struct {
	Name    string `json:"name"`
	Width   int    `json:"width"`
	Height  int    `json:"height"`
	Format  string `json:"format"`
	Profile string `json:"profile"`
	SHA256  string `json:"sha256"`
}

// Frame is the picture that previews are drawn in.
type Frame struct {
	Width        int            `json:"width"`
	Height       int            `json:"height"`
	PhotoToFrame [9]float64     `json:"photo_to_frame"` // row-major homography, photo px → frame px
	MmPerPx      *float64       `json:"mm_per_px"`      // null without a size
	Panel        [4][2]float64  `json:"panel"`          // top-left, top-right, bottom-right, bottom-left; the box round a free outline
	Outline      [][2]float64   `json:"outline"`
	Shape        string         `json:"shape,omitempty"` // of the outline: four corners, free; missing in reports from before it was told
	Holes        [][][2]float64 `json:"holes,omitempty"` // openings in it, no part of the panel
}

// The shapes of an outline.
const (
	FourCorners = "four corners"
	FreeOutline = "free"
)

// Light is what the bed tells about the light.
type Light struct {
	BedLab     [3]float64 `json:"bed_lab"`
	Unevenness float64    `json:"unevenness"`
	Cast       [3]float64 `json:"cast"`
}

// Joint is how the pictures show the grout. RecessMm is what was said or is usual; 0
// is flush with the faces.
type Joint struct {
	State    string  `json:"state"` // cured, damp, enhanced
	RecessMm float64 `json:"recess_mm"`
	Grain    bool    `json:"grain"`
	Clear    bool    `json:"clear"` // see-through tiles by guess
}

func jointOf(j *preview.Joint) Joint {
	out := Joint{State: string(cmp.Or(j.State, grout.Cured)), RecessMm: cmp.Or(j.RecessMm, grout.RecessMm), Grain: !j.Plain, Clear: j.Clear}
	if j.Flush {
		out.RecessMm = 0
	}
	return out
}

// Gaps is the space between the tiles. One of WidthMm and WidthPx is set, or
// neither when no width could be measured.
type Gaps struct {
	Method     string   `json:"method"`
	Confidence float64  `json:"confidence"`
	Share      float64  `json:"share"`
	AreaMm2    *float64 `json:"area_mm2"` // null without a size
	WidthMm    *Spread  `json:"width_mm,omitempty"`
	WidthPx    *Spread  `json:"width_px,omitempty"`
	Weak       []Weak   `json:"weak,omitempty"` // left out when there is none
	Channels   float64  `json:"channels"`       // share of the joints' length that runs on straight
}

// Weak is a region whose gaps are less sure than they should be, the one with most
// to make up for first.
type Weak struct {
	Box        [4]float64 `json:"box"` // left, top, right, bottom, frame px
	Confidence float64    `json:"confidence"`
}

// Tiles is the laid pieces. One of AreaMm2 and AreaPx is set.
type Tiles struct {
	Count   int     `json:"count"`
	Cut     *int    `json:"cut,omitempty"` // by the panel's or the picture's edge; missing in reports from before it was counted
	Burnt   int     `json:"burnt"`         // burnt out by glare: their colour is not known, they count in no sum
	AreaMm2 *Spread `json:"area_mm2,omitempty"`
	AreaPx  *Spread `json:"area_px,omitempty"`
}

// Spread is three quantiles over tiles or over places along the gaps.
type Spread struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// Shade is one candidate, measured and ranked.
type Shade struct {
	ID           string     `json:"id"`
	Depth        string     `json:"depth"`
	Cast         string     `json:"cast"`
	Lab          [3]float64 `json:"lab"` // cured and dry
	Rank         int        `json:"rank"`
	Score        float64    `json:"score"`
	Terms        Terms      `json:"terms"`
	Ties         []string   `json:"ties"` // shades too close to call
	Reason       string     `json:"reason"`
	Contrast     Contrast   `json:"contrast"`
	Clusters     []Against  `json:"clusters"` // in the order of the report's clusters
	Worst        *int       `json:"worst"`    // place of the cluster that fares worst; null without any
	MergingShare float64    `json:"merging_share"`
	Merged       Merged     `json:"merged"`
	GridEmphasis float64    `json:"grid_emphasis"` // how much the joints draw straight lines, 0…1
	ShiftL       float64    `json:"shift_l"`       // how much lighter the whole panel becomes, L*
	At           []Seen     `json:"at"`            // empty without a size
	DampLab      [3]float64 `json:"damp_lab"`
	AfarLab      [3]float64 `json:"afar_lab"` // mean colour of the panel
	Files        *Files     `json:"files"`    // null when no pictures were written
}

// Contrast is the shade against every tile; DeltaL is shade − tile.
type Contrast struct {
	DeltaL Spread `json:"delta_l"`
	HyAB   Spread `json:"hyab"`
	DE00   Spread `json:"de00"`
}

// Merged is the groups of neighbours that read as one.
type Merged struct {
	Groups       int     `json:"groups"`
	LargestShare float64 `json:"largest_share"`
	Pieces       int     `json:"pieces"` // distinct pieces left, of tiles.count
}

// Seen is the contrast left at a distance.
type Seen struct {
	DistanceM    float64 `json:"distance_m"`
	Seen         Spread  `json:"seen"`
	MergedGroups int     `json:"merged_groups"`
	MergingShare float64 `json:"merging_share"`
	Pieces       int     `json:"pieces"`
}

// Files names a shade's pictures inside the output folder.
type Files struct {
	Preview string `json:"preview"`
	Merged  string `json:"merged"`
}

// Note is a remark: a code for machines, a sentence for people.
type Note struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

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
