package main

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"

	"gapshade/colormath"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/segment"
)

// BenchmarkNumbers takes the time of all numbers for the eleven shades from three
// distances, near-ties included, on a drawn panel of 1,800 tiles in 12 megapixels,
// as a multiple of F (see BenchmarkWholeCommand). The bar is half of F.
//
//	go test ./cmd/gapshade -run '^$' -bench Numbers -benchtime 1x
func BenchmarkNumbers(b *testing.B) {
	pic, m := drawnPanel()
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, asImage(pic), &jpeg.Options{Quality: 92}); err != nil {
		b.Fatal(err)
	}
	photo := filepath.Join(b.TempDir(), "panel.jpg")
	if err := os.WriteFile(photo, buf.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		floor, all := spent{time.Hour, time.Hour}, spent{time.Hour, time.Hour}
		spin := 0.0
		for range rounds {
			floor = floor.least(timed(func() { benchFloor(b, photo) }))
			spin += spinRatio() / rounds
			all = all.least(timed(func() { numbers(pic, m) }))
		}
		b.ReportMetric(floor.wall.Seconds(), "s/F")
		b.ReportMetric(all.wall.Seconds(), "s/numbers")
		b.ReportMetric(all.wall.Seconds()/floor.wall.Seconds(), "F")
		b.ReportMetric(all.cpu.Seconds()/max(floor.cpu.Seconds(), 1e-9), "cpu/F")
		b.ReportMetric(spin, "spin")
	}
}

// numbers is what preview.Make does after the gaps are found.
func numbers(pic *colormath.Picture, m *segment.Map) {
	field := light.Even(colormath.LinearRGB{R: 1, G: 1, B: 1})
	lab, burnt := contrast.TileColours(pic, m, field, 0)
	p := contrast.NewPanel(m, lab, burnt, 0)
	doubt := contrast.NewDoubt(p, light.Doubt(&colormath.Lab{L: 93}), contrast.DeeperColours(pic, m, field, 0))
	views := p.From(context.Background(), []float64{.5, 2, 5}, .1, 0)
	shades := grout.Palette()
	colormath.Rows(len(shades), 0, func(a, b int) {
		for _, s := range shades[a:b] {
			p.Measure(s.Lab)
			p.Terms("balance", s.Lab)
			doubt.Score("balance", s.Lab)
			for i := range views {
				views[i].Measure(s.Lab)
			}
		}
	})
}

// drawnPanel is 50 by 36 tiles of 71 px with joints of 9 px, in ten colours, with
// a border between every two that face each other.
func drawnPanel() (*colormath.Picture, *segment.Map) {
	const cols, rows, pitch, gap = 50, 36, 80, 9
	w, h := cols*pitch, rows*pitch
	m := &segment.Map{W: w, H: h, Gap: make([]uint8, w*h), Label: make([]uint16, w*h),
		Panel:      segment.Quad{{}, {X: float64(w)}, {X: float64(w), Y: float64(h)}, {Y: float64(h)}},
		GapWidthPx: colormath.Spread{P10: gap, P50: gap, P90: gap}, PanelPx: float64(w * h),
		GapShare: 1 - float64((pitch-gap)*(pitch-gap))/(pitch*pitch)}
	pic := colormath.NewPicture(w, h)
	for y := range h {
		m.Inside = append(m.Inside, segment.Span{Y: y, X1: w})
		for x := range w {
			i, id := y*w+x, y/pitch*cols+x/pitch+1
			grain := float64((x*7919+y*104729)%64)/64 - .5
			c := colormath.LinearRGB{R: .8, G: .8, B: .8}
			if x%pitch < gap || y%pitch < gap {
				m.Gap[i] = 255
			} else {
				m.Label[i] = uint16(id)
				c = colormath.Tinted(20+7*float64(id*7%10), 20, 36*float64(id*3%10)).LinearRGB()
			}
			k := .9 + .1*grain
			pic.Set(x, y, colormath.LinearRGB{R: k * c.R, G: k * c.G, B: k * c.B})
		}
	}
	for id := 1; id <= cols*rows; id++ {
		x, y := (id-1)%cols*pitch, (id-1)/cols*pitch
		m.Tiles = append(m.Tiles, segment.Tile{AreaPx: (pitch - gap) * (pitch - gap), Centre: segment.Point{X: float64(x) + 44, Y: float64(y) + 44},
			X0: x + gap, Y0: y + gap, X1: x + pitch, Y1: y + pitch})
		if x > 0 {
			m.Borders = append(m.Borders, segment.Border{A: id - 1, B: id, Length: pitch - gap, WidthPx: gap})
		}
		if y > 0 {
			m.Borders = append(m.Borders, segment.Border{A: id - cols, B: id, Length: pitch - gap, WidthPx: gap})
		}
	}
	return pic, m
}

func asImage(pic *colormath.Picture) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, pic.W, pic.H))
	for i := 0; i < pic.W*pic.H; i++ {
		for c := range 3 {
			img.Pix[4*i+c] = colormath.Encode8(pic.Pix[3*i+c])
		}
		img.Pix[4*i+3] = 255
	}
	return img
}
