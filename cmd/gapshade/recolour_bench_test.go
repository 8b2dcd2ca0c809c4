package main

import (
	"testing"

	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
)

// BenchmarkRecolour paints one prepared panel of 12 megapixels with one shade after
// another on the same canvas, without encoding, as a multiple of F.
func BenchmarkRecolour(b *testing.B) {
	path := enlargedPhoto(b)
	ph, err := photo.OpenFile(b.Context(), path, photo.Limits{Lean: true})
	if err != nil {
		b.Fatal(err)
	}
	s := preview.Default()
	s.WidthMm, s.HeightMm = 383, 303
	s.Shades = grout.Palette()
	p, err := preview.Make(b.Context(), ph, s)
	if err != nil {
		b.Fatal(err)
	}
	canvas := p.Canvas()
	for b.Loop() {
		floor := timed(func() { benchFloor(b, path) })
		spin := spinRatio()
		one := timed(func() { p.Paint(canvas, 0) })
		for i := range p.Trials {
			one = one.least(timed(func() { p.Paint(canvas, i) }))
		}
		b.ReportMetric(one.wall.Seconds()/floor.wall.Seconds(), "F")
		b.ReportMetric(one.cpu.Seconds()/max(floor.cpu.Seconds(), 1e-9), "cpu/F")
		b.ReportMetric(spin, "spin")
	}
}
