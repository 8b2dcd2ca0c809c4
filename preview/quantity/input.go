package quantity

import (
	"fmt"
	"math"
)

// Kind is the grout powder's grain.
type Kind string

// The kinds; Auto decides by the measured joints.
const (
	Auto     Kind = "auto"
	Unsanded Kind = "unsanded"
	Sanded   Kind = "sanded"
)

// Material is what the pieces are made of.
type Material string

// The materials; Mixed also stands for not known.
const (
	Glass      Material = "glass"
	Glazed     Material = "glazed"
	Porcelain  Material = "porcelain"
	Stone      Material = "stone"
	Terracotta Material = "terracotta"
	Metal      Material = "metal"
	Mixed      Material = "mixed"
)

// Place is where the panel will live.
type Place string

// The places.
const (
	Indoor  Place = "indoor"
	Wet     Place = "wet"
	Outdoor Place = "outdoor"
)

// Work is the trade whose habits apply; it chooses the clock and the waste.
type Work string

// The kinds of work; AutoWork decides by the size of a tile.
const (
	AutoWork Work = ""
	Mosaic   Work = "mosaic"
	Tiling   Work = "tile"
)

// Widths are joint widths, mm: the 10th, 50th and 90th percentile along the
// gaps. The zero value means not measured.
type Widths struct{ P10, P50, P90 float64 }

// Input is one job. Start from Default and fill in what is known.
type Input struct {
	// The panel: its sides, or its area (mm²) when it is not a rectangle. Sides
	// give area and perimeter where those are 0.
	WidthMm, HeightMm float64
	PanelMm2          float64
	PerimeterMm       float64

	// The gaps: area of the gap mask, rim included (mm²), and its joint widths;
	// or the sizes of one tile and its joint. Measured wins over sizes.
	GapMm2           float64
	Joint            Widths
	NarrowShare      float64 // share of the gaps under HardToFillMm, 0…1; below 0 = not measured
	TileWMm, TileHMm float64
	JointMm          float64
	TileMm2          float64 // middle tile area; 0 = from TileWMm × TileHMm
	SizeVariationMm  float64 // largest tile side less the smallest; 0 = not known

	ThicknessMm  float64 // tile thickness; 0 = by material
	EdgeMm       float64 // height of a thin coat down the outer sides; 0 = none
	Allowance    float64 // waste as a share, 0…1
	TemperatureC float64 // air and surface, °C
	PotLifeMin   float64 // from the bag, min; 0 = not known
	Kind         Kind
	Material     Material
	Place        Place
	Grouted      bool // an old floor or wall: there is grout in the joints, and ThicknessMm is how deep it is raked out
	Work         Work
	Clock        Clock // "" = by Work
	Units        Units
}

// Default is an indoor job at 21 °C with the trade's 10 % for waste.
func Default() Input {
	return Input{Allowance: 0.10, TemperatureC: 21, NarrowShare: -1,
		Kind: Auto, Material: Mixed, Place: Indoor, Units: Metric}
}

// Error is an input that no plan can be made from.
type Error struct {
	What string // what was given
	Next string // what to give instead
	Flag string // the command's flag for what was given, without dashes; "" where there is none
}

func (e *Error) Error() string { return e.What + "; " + e.Next }

func refuse(next, what string, args ...any) error {
	return &Error{What: fmt.Sprintf(what, args...), Next: next}
}

// Limits of what is believed, ours: a hectare, and lengths a joint can have.
const (
	maxPanelMm2 = 1e10
	maxSideMm   = 1e5
	maxJointMm  = 100
	maxDeepMm   = 100
	maxEdgeMm   = 1000
)

// derived fills in what follows from the rest.
func (in Input) derived() Input {
	if in.PanelMm2 == 0 {
		in.PanelMm2 = in.WidthMm * in.HeightMm
	}
	if in.PerimeterMm == 0 {
		in.PerimeterMm = 2 * (in.WidthMm + in.HeightMm)
	}
	if in.PerimeterMm == 0 { // a square has the least perimeter of all rectangles
		in.PerimeterMm = 4 * math.Sqrt(in.PanelMm2)
	}
	if in.TileMm2 == 0 {
		in.TileMm2 = in.TileWMm * in.TileHMm
	}
	if in.Joint == (Widths{}) {
		in.Joint = Widths{in.JointMm, in.JointMm, in.JointMm}
	}
	if in.Work == AutoWork {
		in.Work = workFor(in.TileMm2)
	}
	if in.Clock == "" {
		in.Clock = clockFor(in.Work)
	}
	return in
}

// workFor calls pieces under 6 in² mosaic (ANSI A137.1, from memory), and also
// pieces of unknown size: photos of mosaics are what the program is for.
func workFor(tileMm2 float64) Work {
	if tileMm2 >= 6*MmPerInch*MmPerInch {
		return Tiling
	}
	return Mosaic
}

// Check refuses what a person can't mean, before any panel is measured. The
// error, if any, is an *Error.
func (in Input) Check() error {
	in.PanelMm2, in.GapMm2 = 1e6, 1e5
	in = in.derived()
	return in.check()
}

// check refuses what is not a job.
func (in *Input) check() error {
	ranges := []struct {
		flag, name string
		v, lo, hi  float64
		unit       string
	}{
		{"size", "a panel area", in.PanelMm2, 1, maxPanelMm2, " mm²"},
		{"size", "a panel width", in.WidthMm, 0, maxSideMm, " mm"}, {"size", "a panel height", in.HeightMm, 0, maxSideMm, " mm"},
		{"", "a perimeter", in.PerimeterMm, 0, 1e7, " mm"},
		{"", "a gap area", in.GapMm2, 0, in.PanelMm2, " mm²"},
		{"tile", "a tile width", in.TileWMm, 0, maxSideMm, " mm"}, {"tile", "a tile height", in.TileHMm, 0, maxSideMm, " mm"},
		{"", "a tile area", in.TileMm2, 0, maxPanelMm2, " mm²"},
		{"joint", "a joint", in.JointMm, 0, maxJointMm, " mm"},
		{"", "a narrow joint (p10)", in.Joint.P10, 0, maxJointMm, " mm"}, {"", "a middle joint (p50)", in.Joint.P50, in.Joint.P10, maxJointMm, " mm"},
		{"", "a wide joint (p90)", in.Joint.P90, in.Joint.P50, maxJointMm, " mm"},
		{"variation", "a size variation", in.SizeVariationMm, 0, maxJointMm, " mm"},
		{"thickness", "a thickness", in.ThicknessMm, 0, maxDeepMm, " mm"},
		{"edge", "an edge", in.EdgeMm, 0, maxEdgeMm, " mm"},
		{"allowance", "an allowance", 100 * in.Allowance, 0, 100, " %"},
		{"", "a narrow share", in.NarrowShare, -1, 1, ""},
		{"temperature", "a temperature", in.TemperatureC, -30, 60, " °C"},
		{"pot-life", "a pot life", in.PotLifeMin, 0, 600, " min"},
	}
	for _, r := range ranges {
		if !(r.v >= r.lo && r.v <= r.hi) { // also refuses NaN
			return &Error{What: fmt.Sprintf("%s of %.6g%s can't be", r.name, r.v, r.unit), Flag: r.flag,
				Next: fmt.Sprintf("give a value from %.9g to %.9g%s", r.lo, r.hi, r.unit)}
		}
	}
	if in.GapMm2 == 0 && (in.TileWMm == 0 || in.TileHMm == 0 || in.JointMm == 0) {
		return refuse("give tile and joint sizes, such as 20x20mm and 2mm, or a measured gap area", "no gaps to fill are known")
	}
	return in.checkWords()
}

func (in *Input) checkWords() error {
	words := []struct {
		name, got, choice string
		ok                bool
	}{
		{"kind", string(in.Kind), "auto, unsanded or sanded", one(in.Kind, Auto, Unsanded, Sanded)},
		{"material", string(in.Material), "glass, glazed, porcelain, stone, terracotta, metal or mixed",
			one(in.Material, Glass, Glazed, Porcelain, Stone, Terracotta, Metal, Mixed)},
		{"place", string(in.Place), "indoor, wet or outdoor", one(in.Place, Indoor, Wet, Outdoor)},
		{"work", string(in.Work), "mosaic or tile", one(in.Work, Mosaic, Tiling)},
		{"clock", string(in.Clock), "unhurried or by touch", one(in.Clock, Unhurried, ByTouch)},
		{"units", string(in.Units), "metric or us", one(in.Units, Metric, US)},
	}
	for _, w := range words {
		if !w.ok {
			return &Error{What: fmt.Sprintf("%s %q is not known", w.name, w.got), Next: "use " + w.choice, Flag: w.name}
		}
	}
	return nil
}

func one[T comparable](v T, of ...T) bool {
	for _, o := range of {
		if v == o {
			return true
		}
	}
	return false
}
