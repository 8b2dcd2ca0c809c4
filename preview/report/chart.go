package report

import (
	"math"

	"gapshade/preview"
)

// chart is the drawing of how much lighter or darker each joint is than the
// tiles: one row per shade, a bar from the 10th to the 90th percentile of ΔL*,
// a mark at the middle, and the zone in which outlines are at risk.
//
// It is drawn from the report alone and as SVG, which prints sharply and takes
// its text colour from the page, light or dark. A histogram of all tiles was
// decided against: three numbers per shade are what people compare.
type chart struct {
	W, H       int
	Zone       bar // |ΔL*| below the limit
	ZeroX      int // where joint and tile are equally light
	Ticks      []tick
	Rows       []chartRow
	Top, Floor int // of the plot
	LabelX     int // right end of the names
}

type bar struct{ X, Y, W, H int }

type tick struct {
	X    int
	Text string
}

type chartRow struct {
	Name, Hex string
	TextY     int
	Bar, Mark bar
}

// Sizes of the drawing, in its own units.
const (
	chartWidth = 960
	chartLeft  = 170 // room for the names
	chartRight = 20
	chartTop   = 44
	chartPitch = 34
	chartBar   = 16
	markWidth  = 6
	tickStep   = 20 // L*
)

func newChart(shades []Shade) chart {
	lo, hi := span(shades)
	at := func(v float64) int {
		return chartLeft + int(math.Round((v-lo)/(hi-lo)*(chartWidth-chartLeft-chartRight)))
	}
	c := chart{W: chartWidth, H: chartTop + chartPitch*len(shades) + 36, LabelX: chartLeft - 14, Top: chartTop - 8}
	c.Floor = chartTop + chartPitch*len(shades)
	c.ZeroX = at(0)
	c.Zone = bar{at(-outlineDeltaL), c.Top, at(outlineDeltaL) - at(-outlineDeltaL), c.Floor - c.Top}
	for v := math.Ceil(lo/tickStep) * tickStep; v <= hi; v += tickStep {
		c.Ticks = append(c.Ticks, tick{at(v), signed(v)})
	}
	for i := range shades {
		c.Rows = append(c.Rows, newRow(&shades[i], chartTop+chartPitch*i, at))
	}
	return c
}

func newRow(s *Shade, y int, at func(float64) int) chartRow {
	d := s.Contrast.DeltaL
	x := at(d.P10)
	top := y + (chartPitch-chartBar)/2
	return chartRow{
		Name:  preview.ShadeName(s.ID),
		Hex:   hexOf(s.Lab),
		TextY: y + chartPitch/2 + 5,
		Bar:   bar{x, top, max(2, at(d.P90)-x), chartBar},
		Mark:  bar{at(d.P50) - markWidth/2, top - 4, markWidth, chartBar + 8},
	}
}

// span is the axis: all bars and the whole zone, in full steps of ten.
func span(shades []Shade) (lo, hi float64) {
	lo, hi = -2*outlineDeltaL, 2*outlineDeltaL
	for i := range shades {
		lo = math.Min(lo, shades[i].Contrast.DeltaL.P10)
		hi = math.Max(hi, shades[i].Contrast.DeltaL.P90)
	}
	return math.Floor(lo/10) * 10, math.Ceil(hi/10) * 10
}
