package preview

import (
	"gapshade/preview/grout"
	"gapshade/segment"
)

// Aim is what the person wants from the grout.
type Aim string

const (
	Outline Aim = "outline" // every tile stands out
	Balance Aim = "balance" // the joint is seen, the picture leads
	Blend   Aim = "blend"   // the joint disappears
)

// Settings is everything a person can say about one photo. The zero value with
// Default's aim and shades is a plain run.
type Settings struct {
	Corners   *segment.Quad // panel corners in upright photo px; nil = find them
	WidthMm   float64       // panel width, 0 = not known
	HeightMm  float64       // panel height, 0 = not known
	Bed       Bed           // what shows in the gaps
	GapMm     float64       // joint width the person expects, 0 = not said
	Shades    []grout.Shade // candidates
	Aim       Aim
	Strict    bool    // low confidence is a fault, not a note
	Title     string  // heading of the report and the sheet
	Threads   int     // 0 = all processors
	Thickness float64 // tile thickness, mm
}
