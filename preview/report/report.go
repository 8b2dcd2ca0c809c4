package report

import (
	"cmp"

	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/quantity"
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
