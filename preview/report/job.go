package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"time"

	"gapshade/preview"
	"gapshade/preview/quantity"
	"gapshade/segment"
)

// mostJSON is the largest report that is read, bytes, ours: one of ten thousand
// tiles stays far below.
const mostJSON = 64 << 20

// Read reads report.json back; fields that this version doesn't know are skipped.
// Errors are *preview.Fault.
func Read(r io.Reader, name string) (Report, error) {
	fault := func(why string, err error) error {
		return &preview.Fault{Code: preview.CodePhoto, What: name, Why: why, Err: err,
			Next: "give the report.json that gapshade preview wrote, or the folder it is in"}
	}
	var rep Report
	switch err := json.NewDecoder(io.LimitReader(r, mostJSON)).Decode(&rep); {
	case err != nil:
		return rep, fault("it is no report of gapshade, or it is damaged", err)
	case rep.Schema != SchemaID:
		return rep, fault(fmt.Sprintf("its schema is %q, not %s", rep.Schema, SchemaID), nil)
	}
	return rep, nil
}

// Said is what was said about the job when the report was made, the narrow share
// that was then measured, and the title and start of its sheet; the usual when
// nothing was. The error, if any, is a *preview.Fault.
func (r *Report) Said() (in quantity.Input, title string, start time.Time, err error) {
	if r.Job == nil {
		return quantity.Default(), "", time.Time{}, nil
	}
	if in, start, err = r.Job.Given.Input(); err != nil {
		return in, "", start, preview.FromJob(err)
	}
	if n := r.Job.NarrowShare; n != nil {
		in.NarrowShare = *n
	}
	return in, r.Job.Given.Title, start, nil
}

// Measured adds to what is said about a job what the report measured: the panel,
// its gaps by the mask (rim included), the joints and the middle tile. ok is false
// when the panel's size is not known, or nothing is gap.
func (r *Report) Measured(in quantity.Input) (out quantity.Input, ok bool) {
	g, mm := &r.Gaps, r.Frame.MmPerPx
	if mm == nil || g.AreaMm2 == nil || !(*g.AreaMm2 > 0) || !(g.Share > 0) {
		return in, false
	}
	in.GapMm2, in.PanelMm2 = *g.AreaMm2, *g.AreaMm2/g.Share
	in.PerimeterMm = *mm * r.Frame.rim()
	if w := g.WidthMm; w != nil {
		in.Joint = quantity.Widths{P10: w.P10, P50: w.P50, P90: w.P90}
	}
	if t := r.Tiles.AreaMm2; t != nil {
		in.TileMm2 = t.P50
	}
	return in, true
}

// Narrows looks for gaps that are hard to fill in the mask of gaps (gaps.png, the
// frame's size, row by row), inside the report's outline; threads as in
// colormath.Rows. ok is false without a mask or a size, or where the photo is too
// coarse to tell.
func (r *Report) Narrows(gap []uint8, threads int) (n quantity.Narrows, ok bool) {
	w, h := r.Frame.Width, r.Frame.Height
	if w <= 0 || h <= 0 || len(gap) != w*h || r.Frame.MmPerPx == nil || len(r.Frame.Outline) < 3 {
		return n, false
	}
	var holes [][]segment.Point
	for _, hole := range r.Frame.Holes {
		holes = append(holes, places(hole))
	}
	inside := make([]bool, w*h)
	for _, s := range segment.Spans(w, h, places(r.Frame.Outline), holes...) {
		for x := s.X0; x < s.X1; x++ {
			inside[s.Y*w+x] = true
		}
	}
	return quantity.FindNarrow(gap, inside, w, h, *r.Frame.MmPerPx, threads)
}

// Rescale gives the report the panel's size, mm, whether it had one or not: of a free
// outline that is the box round it. The
// error, if any, is a *preview.Fault.
func (r *Report) Rescale(w, h float64) error {
	px2 := area(r.Frame.Panel[:])
	if !(px2 > 0) {
		return &preview.Fault{Code: preview.CodePhoto, What: "the report's panel has no area", Next: "run gapshade preview again"}
	}
	mm := significant(math.Sqrt(w*h/px2), 6)
	g, t, k := &r.Gaps, &r.Tiles, mm
	if old := r.Frame.MmPerPx; old != nil && *old > 0 {
		k = mm / *old
		g.WidthPx, t.AreaPx = g.WidthMm, t.AreaMm2
		if g.AreaMm2 != nil {
			g.AreaMm2 = new(round(*g.AreaMm2*k*k, 1))
		}
	} else {
		g.AreaMm2 = new(round(g.Share*r.Frame.area()*k*k, 1))
	}
	g.WidthMm, g.WidthPx = g.WidthPx.times(k, 3), nil
	t.AreaMm2, t.AreaPx = t.AreaPx.times(k*k, 2), nil
	r.Frame.MmPerPx = &mm
	return nil
}

// times is the spread in other units; that of none is none.
func (s *Spread) times(k float64, decimals int) *Spread {
	if s == nil {
		return nil
	}
	return &Spread{round(k*s.P10, decimals), round(k*s.P50, decimals), round(k*s.P90, decimals)}
}

func places(pts [][2]float64) (out []segment.Point) {
	for _, p := range pts {
		out = append(out, segment.Point{X: p[0], Y: p[1]})
	}
	return out
}

// area is the panel's, px²; rim is the way round it and round its openings, px.
func (f *Frame) area() float64 {
	a := area(f.Outline)
	for _, hole := range f.Holes {
		a -= area(hole)
	}
	return a
}

func (f *Frame) rim() float64 {
	l := length(f.Outline)
	for _, hole := range f.Holes {
		l += length(hole)
	}
	return l
}

// area is that of a polygon (shoelace), whichever way it goes round.
func area(pts [][2]float64) float64 {
	var s float64
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		s += p[0]*q[1] - p[1]*q[0]
	}
	return math.Abs(s) / 2
}

// length is the way round a polygon.
func length(pts [][2]float64) float64 {
	var s float64
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		s += math.Hypot(q[0]-p[0], q[1]-p[1])
	}
	return s
}
