package sheet

import (
	"image"
	"image/color"

	"gapshade/preview"
	"gapshade/segment"
)

// Pictures to be laid over the frame: as large as it, see-through where they say
// nothing.

// LayMerged draws which tiles merge under Trials[i]: tiles that read as one share a
// colour, one that has lost its outline alone is grey, all else is see-through.
func LayMerged(p *preview.Proof, i int) *image.Paletted {
	const clear, alone, group = 0, 1, 2
	colours := color.Palette{color.NRGBA{}, color.NRGBA{0x60, 0x60, 0x60, 0xb0}}
	for _, c := range groupColours {
		colours = append(colours, color.NRGBA{c.R, c.G, c.B, 0xb0})
	}
	t := &p.Trials[i]
	place := groupPlaces(t, neighbours(p))
	of := make([]uint8, len(t.Tiles)+1) // by tile number
	for k, c := range t.Tiles {
		switch {
		case c.Group > 0:
			of[k+1] = group + uint8(place[c.Group-1])
		case c.Loses:
			of[k+1] = alone
		default:
			of[k+1] = clear
		}
	}
	img := layer(p.Map, colours)
	for k, n := range p.Map.Label {
		img.Pix[k] = of[n]
	}
	return img
}

// LayGaps draws the gaps in one colour, as dense as they cover a pixel, w px wide; 0 =
// as wide as the frame.
func LayGaps(p *preview.Proof, c color.NRGBA, w int) *image.Paletted {
	if w > 0 && w < p.Map.W {
		pix, h := thinned(p.Map.Gap, p.Map.W, p.Map.H, w)
		return &image.Paletted{Pix: pix, Stride: w, Rect: image.Rect(0, 0, w, h), Palette: shadesOf(c)}
	}
	img := layer(p.Map, shadesOf(c))
	copy(img.Pix, p.Map.Gap)
	return img
}

// LaySure draws where the gaps are not sure, the denser the less.
func LaySure(p *preview.Proof, c color.NRGBA) *image.Paletted {
	img, s := layer(p.Map, shadesOf(c)), &p.Map.Sure
	if len(s.Of) == 0 {
		return img
	}
	for _, sp := range p.Map.Inside {
		row := min(int(float64(sp.Y)/s.CellPx), s.H-1) * s.W
		for x := sp.X0; x < sp.X1; x++ {
			v := s.Of[row+min(int(float64(x)/s.CellPx), s.W-1)]
			if doubt := preview.GoodConfidence - float64(v)/255; v > 0 && doubt > 0 {
				img.Pix[sp.Y*p.Map.W+x] = uint8(80 + 170*doubt/preview.GoodConfidence)
			}
		}
	}
	return img
}

// LayOutlines draws the outlines of all tiles, a pixel wide, on the tile's side.
func LayOutlines(p *preview.Proof, c color.NRGBA) *image.Paletted {
	m := p.Map
	img := layer(m, color.Palette{color.NRGBA{}, c})
	for y := range m.H {
		for x := range m.W {
			k := y*m.W + x
			n := m.Label[k]
			if n != 0 && (x > 0 && m.Label[k-1] != n || x+1 < m.W && m.Label[k+1] != n ||
				y > 0 && m.Label[k-m.W] != n || y+1 < m.H && m.Label[k+m.W] != n) {
				img.Pix[k] = 1
			}
		}
	}
	return img
}

func layer(m *segment.Map, p color.Palette) *image.Paletted {
	return image.NewPaletted(image.Rect(0, 0, m.W, m.H), p)
}

// shadesOf is a colour from see-through (0) to whole (255).
func shadesOf(c color.NRGBA) color.Palette {
	out := make(color.Palette, 256)
	for i := range out {
		out[i] = color.NRGBA{c.R, c.G, c.B, uint8(i)}
	}
	return out
}
