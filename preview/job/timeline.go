package job

import (
	"fmt"

	"gapshade/preview/quantity"
)

// The drawing is laid out in units of which the page is drawingW wide; SVG uses
// them as they are and the PDF scales them to millimetres.
const (
	drawingW  = 720.0
	labelW    = 104.0 // names at the left
	laterW    = 134.0 // days, at the right, after a break in the axis
	rowH      = 21.0
	barH      = 13.0
	headH     = 24.0
	textDrop  = 10.5 // baseline below the top of a bar
	tickShort = 30   // minutes between ticks on a short round
)

// drawing is the clock as bars, in the units above; y grows downwards.
type drawing struct {
	H     float64
	Axis  float64 // y of the axis
	Floor float64 // y of the last row's end
	EndX  float64 // where the minutes end and the days begin
	Bars  []bar
	Ticks []mark
	Later []mark // days
	Next  *mark  // where the next round may begin; nil = no other round
	Alt   string
}

// bar is one step: its name ends at NameX, its time begins at TimeX, both on the
// baseline TextY. Waiting is drawn pale.
type bar struct {
	Name, Time string
	X, Y, W, H float64
	NameX      float64
	TimeX      float64
	TextY      float64
	Wait       bool
}

// mark is a word at a place of the axis.
type mark struct {
	X    float64
	Text string
}

// LaterY is the baseline of the i-th later mark.
func (d *drawing) LaterY(i int) float64 { return headH + 6 + textDrop + float64(i)*rowH }

// draw lays out one round, and the days after the last.
func draw(s *Sheet) drawing {
	sc := &s.Plan.Schedule
	end := sc.Round[len(sc.Round)-1].EndMin
	scale := (drawingW - labelW - laterW - 50) / float64(end) // 50 for the last bar's time
	x := func(min int) float64 { return labelW + scale*float64(min) }
	d := drawing{Axis: headH, EndX: drawingW - laterW, Alt: alt(s)}
	for i, step := range sc.Round {
		y := headH + 6 + float64(i)*rowH
		d.Bars = append(d.Bars, bar{Name: step.Name, Time: tick(step.StartMin, s), X: x(step.StartMin), Y: y,
			W: max(2, scale*float64(step.EndMin-step.StartMin)), H: barH, NameX: labelW - 8,
			TimeX: x(step.EndMin) + 5, TextY: y + textDrop, Wait: step.Wait})
	}
	d.Floor = headH + 6 + float64(len(sc.Round))*rowH
	d.H = d.Floor + 6
	for m := 0; m <= end; m += tickStep(end) {
		d.Ticks = append(d.Ticks, mark{x(m), tick(m, s)})
	}
	d.Later = later(sc, s)
	if sc.Today > 1 {
		d.Next = &mark{x(min(sc.RoundMin, end)), "next batch"}
	}
	return d
}

// tickStep keeps five to nine ticks.
func tickStep(end int) int {
	step := tickShort
	for end/step > 7 {
		step *= 2
	}
	return step
}

// tick is a time on the axis: the hands of the clock, or hours and minutes after
// the water.
func tick(m int, s *Sheet) string {
	if s.Start.IsZero() {
		return hm(m)
	}
	return quantity.At(s.Start, m).Format("15:04")
}

// later marks the days: what is waited for and when.
func later(sc *quantity.Schedule, s *Sheet) (out []mark) {
	for _, step := range sc.After {
		if step.Wait {
			continue
		}
		at := span(step.StartMin)
		if !s.Start.IsZero() {
			at = quantity.At(s.Start, step.StartMin).Format("2 Jan")
		}
		out = append(out, mark{drawingW - laterW + 14, at + " " + short(step.Key)})
	}
	return out
}

// short names a later step in the narrow column of the days.
func short(key string) string {
	return map[string]string{"judge": "judge it", "seal": "seal", "full": "final look"}[key]
}

// alt tells the drawing to those who can't see it.
func alt(s *Sheet) string {
	sc := &s.Plan.Schedule
	text := "The clock, " + string(sc.Clock) + ":"
	for i, step := range sc.Round {
		if i > 0 {
			text += ","
		}
		text += fmt.Sprintf(" %s at %s", step.Name, hm(step.StartMin))
	}
	return text + " after the water; the table below has the same."
}
