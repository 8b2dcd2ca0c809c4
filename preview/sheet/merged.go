package sheet

import (
	"image"
	"image/color"

	"gapshade/preview"
)

// Merged draws which tiles merge under Trials[i], at most 1,600 px on its long
// side (and a legend below). For many shades make the Maps once.
func Merged(p *preview.Proof, i int) *image.Paletted { return NewMaps(p, 1600).Draw(i) }

// Places of the colours in the palette of a map.
const (
	onGround uint8 = iota
	onGap
	onKept
	onOutline
	onAlone
	onHatch
	onGroup // first of the six
)

// groupColours are six of the eight colours of Okabe and Ito, "Color universal
// design" (2002, revised 2008), which people with any common colour vision can
// tell apart. Black would pass for an outline and yellow is too near to the
// light grey of the tiles.
var groupColours = [...]color.RGBA{
	{0x00, 0x72, 0xb2, 0xff}, // blue
	{0xe6, 0x9f, 0x00, 0xff}, // orange
	{0x00, 0x9e, 0x73, 0xff}, // bluish green
	{0xd5, 0x5e, 0x00, 0xff}, // vermilion
	{0x56, 0xb4, 0xe9, 0xff}, // sky blue
	{0xcc, 0x79, 0xa7, 0xff}, // reddish purple
}

// mapPalette is the palette of a map whose joints have the given colour.
func mapPalette(gap color.RGBA) color.Palette {
	grey := func(v uint8) color.RGBA { return color.RGBA{v, v, v, 0xff} }
	p := color.Palette{surround, gap, grey(0xe2), grey(0x30), grey(0xb4), grey(0x8c)}
	for _, c := range groupColours {
		p = append(p, c)
	}
	const steps = 8 // of the soft edges of letters, from the ground to the ink
	for i := range steps + 1 {
		p = append(p, grey(surround.R+uint8((int(ink.R)-int(surround.R))*i/steps)))
	}
	return p
}

// Maps draws the merge map of each shade of one proof on a tile map that is
// reduced once.
type Maps struct {
	p      *preview.Proof
	cells  cells
	around [][]int // neighbours of every tile, by index
}

// NewMaps reduces the proof's tile map to at most longSide px, over the same
// crop as the sheet.
func NewMaps(p *preview.Proof, longSide int) *Maps {
	return &Maps{p: p, cells: reduce(p.Map, Crop(p), longSide), around: neighbours(p)}
}

// Draw draws the map of Trials[i]:
//
//   - a tile that keeps its outline is light grey and has one;
//   - a tile that has lost its outline but joins no neighbour is hatched;
//   - tiles that read as one share a colour, different from the colours of the
//     groups that they face;
//   - joints have the shade's colour.
func (m *Maps) Draw(i int) *image.Paletted {
	t := &m.p.Trials[i]
	legend := newLegend(t, m.cells.w)
	img := image.NewPaletted(image.Rect(0, 0, m.cells.w, m.cells.h+legend.h), mapPalette(srgb(t.Shade.Lab)))
	fills := m.fills(t)
	for y := range m.cells.h {
		for x := range m.cells.w {
			img.Pix[y*img.Stride+x] = m.pixel(x, y, fills)
		}
	}
	legend.draw(img, m.cells.h)
	return img
}

// fills is the palette place of every tile, by index.
func (m *Maps) fills(t *preview.Trial) []uint8 {
	colour := groupPlaces(t, m.around)
	out := make([]uint8, len(t.Tiles))
	for i, c := range t.Tiles {
		switch {
		case c.Group > 0:
			out[i] = onGroup + uint8(colour[c.Group-1])
		case c.Loses:
			out[i] = onAlone
		default:
			out[i] = onKept
		}
	}
	return out
}

// hatch lines run every hatchPitch px and are hatchWidth wide.
const hatchPitch, hatchWidth = 8, 3

func (m *Maps) pixel(x, y int, fills []uint8) uint8 {
	switch v := m.cells.at(x, y); {
	case v == cellOutside:
		return onGround
	case v == cellGap:
		return onGap
	default:
		fill := fills[v-1]
		if fill == onKept && m.cells.rim[y*m.cells.w+x] {
			return onOutline
		}
		if fill == onAlone && (x+y)%hatchPitch < hatchWidth {
			return onHatch
		}
		return fill
	}
}
