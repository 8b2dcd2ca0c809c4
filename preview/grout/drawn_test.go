package grout

import (
	"context"
	"image"
	"image/color"
	"math"
	"math/rand/v2"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// drawn is a flat panel under an even light: tiles of one colour, bed of one
// colour, and soft edges whose mixture is known exactly.
type drawn struct {
	tile, bed colormath.LinearRGB // as the photo shows them
	gap       func(x, y int) float64
	light     colormath.LinearRGB
	noise     float64 // standard deviation on the 8-bit photo, codes
}

const drawnW, drawnH = 160, 120

// The panel is a part of the picture, so that there is an outside.
var drawnPanel = segment.Quad{{X: 12, Y: 10}, {X: 148, Y: 10}, {X: 148, Y: 110}, {X: 12, Y: 110}}

// upright gives gaps of the given width, pitch apart, with edges that fall
// between pixels: the coverage is the share of each pixel that the gap covers.
func upright(width, pitch float64) func(x, y int) float64 {
	return func(x, _ int) float64 {
		d := math.Abs(math.Mod(float64(x)-drawnW/2+10.5*pitch, pitch) - pitch/2) // from the middle of the next gap
		return min(max(width/2-d+.5, 0), 1)
	}
}

func (d drawn) draw() (*image.RGBA, *colormath.Picture, *segment.Map) {
	m := &segment.Map{W: drawnW, H: drawnH, Gap: make([]uint8, drawnW*drawnH), Label: make([]uint16, drawnW*drawnH),
		Panel: drawnPanel, Outline: drawnPanel[:], Tiles: make([]segment.Tile, 1), GapWidthPx: colormath.Spread{P50: 8}}
	m.Inside = drawnPanel.Spans(drawnW, drawnH)
	pic := colormath.NewPicture(drawnW, drawnH)
	for i := range drawnW * drawnH {
		pic.Set(i%drawnW, i/drawnW, d.bed)
	}
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			i := s.Y*drawnW + x
			m.Gap[i] = uint8(math.Round(255 * d.gap(x, s.Y)))
			if m.Gap[i] < 128 {
				m.Label[i] = 1
			}
			a := float64(m.Gap[i]) / 255
			pic.Set(x, s.Y, colormath.LinearRGB{R: a*d.bed.R + (1-a)*d.tile.R, G: a*d.bed.G + (1-a)*d.tile.G, B: a*d.bed.B + (1-a)*d.tile.B})
		}
	}
	base := image.NewRGBA(image.Rect(0, 0, drawnW, drawnH))
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range drawnW * drawnH {
		var v [3]uint8
		for c := range v {
			v[c] = uint8(min(max(float64(colormath.Encode8(pic.Pix[3*i+c]))+math.Round(d.noise*rng.NormFloat64()), 0), 255))
		}
		base.SetRGBA(i%drawnW, i/drawnW, color.RGBA{v[0], v[1], v[2], 255})
	}
	return base, pic, m
}

// newFill prepares a panel that nothing stops.
func newFill(base *image.RGBA, pic *colormath.Picture, m *segment.Map, field *light.Field, j Joint, threads int) *Filler {
	f, err := NewFiller(context.Background(), base, pic, m, field, j, threads)
	if err != nil {
		panic(err)
	}
	return f
}

// fill prepares the drawing for a recess of the given depth, px.
func (d drawn) fill(recess float64, threads int) (*Fill, *image.RGBA, *segment.Map) {
	base, pic, m := d.draw()
	return newFill(base, pic, m, light.Even(d.light), Joint{DepthPx: recess}, threads).Fill, base, m
}

// lit is the light on the joint along row y, where that on the faces is white.
func (d drawn) lit(j Joint, y int) [][3]float32 {
	_, pic, m := d.draw()
	r, b := newRecess(pic, m, j.DepthPx, j.Lamp, 1), row{}
	r.row(y, &b)
	out := make([][3]float32, m.W)
	for x := range out {
		out[x] = b.on(x, [3]float32{float32(d.light.R), float32(d.light.G), float32(d.light.B)})
	}
	return out
}
