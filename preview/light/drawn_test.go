package light

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// drawn is a panel of flat square tiles on a flat bed under a known light, so
// that what Measure should find is known exactly. Places run over −1…1 on the
// panel, as in Field.
type drawn struct {
	light  func(u, v float64) colormath.LinearRGB // truth: what a perfect white would show
	bed    colormath.LinearRGB                    // reflectance
	tile   colormath.LinearRGB                    // reflectance
	table  *colormath.LinearRGB                   // what lies round the panel; nil = more bed
	shadow func(across float64) float64           // share of the light by place across a gap, −1…1; nil = 1
	gap    int                                    // px; 0 = 8
}

const (
	drawnW, drawnH         = 480, 360
	drawnX0, drawnY0       = 60, 45
	drawnCols, drawnRows   = 10, 7 // tiles, with a gap all round
	drawnPitch             = 36
	drawnPanelW, drawnPanH = drawnCols * drawnPitch, drawnRows * drawnPitch
)

// place turns px into −1…1 on the panel.
func place(x, y float64) (u, v float64) {
	return (x - drawnX0 - drawnPanelW/2.0) / (drawnPanelW / 2), (y - drawnY0 - drawnPanH/2.0) / (drawnPanH / 2)
}

// draw paints the photo, haze and all, and writes the map that a perfect finder would give.
func (d drawn) draw() (*colormath.Picture, *segment.Map) {
	gap := d.gap
	if gap == 0 {
		gap = 8
	}
	pic := colormath.NewPicture(drawnW, drawnH)
	m := &segment.Map{W: drawnW, H: drawnH, Gap: make([]uint8, drawnW*drawnH), Label: make([]uint16, drawnW*drawnH),
		Panel: segment.Quad{{X: drawnX0, Y: drawnY0}, {X: drawnX0 + drawnPanelW, Y: drawnY0},
			{X: drawnX0 + drawnPanelW, Y: drawnY0 + drawnPanH}, {X: drawnX0, Y: drawnY0 + drawnPanH}},
		Tiles:   make([]segment.Tile, drawnCols*drawnRows),
		PanelPx: drawnPanelW * drawnPanH, GapShare: 1 - math.Pow(1-float64(gap)/drawnPitch, 2),
		GapWidthPx: colormath.Spread{P10: float64(gap), P50: float64(gap), P90: float64(gap)}}
	m.Outline = m.Panel[:]
	m.Inside = m.Panel.Spans(drawnW, drawnH)
	inside := make([]bool, drawnW*drawnH)
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			inside[s.Y*drawnW+x] = true
		}
	}
	for y := range drawnH {
		for x := range drawnW {
			i := y*drawnW + x
			c, lit := d.bed, 1.0
			if !inside[i] {
				if d.table != nil {
					c = *d.table
				}
			} else if id, across := tileAt(x, y, gap); id > 0 {
				m.Label[i], c = uint16(id), d.tile
			} else {
				m.Gap[i] = 255
				if d.shadow != nil {
					lit = d.shadow(across)
				}
			}
			e := d.light(place(float64(x), float64(y)))
			pic.Set(x, y, colormath.LinearRGB{R: lit * e.R * (c.R + haze), G: lit * e.G * (c.G + haze), B: lit * e.B * (c.B + haze)})
		}
	}
	return pic, m
}

// tileAt is the tile at a pixel of the panel, or 0 and the place across the gap:
// −1 at the tile on the left (above), 1 at the tile on the right (below).
func tileAt(x, y, gap int) (id int, across float64) {
	col, dx := (x-drawnX0)/drawnPitch, (x-drawnX0)%drawnPitch
	row, dy := (y-drawnY0)/drawnPitch, (y-drawnY0)%drawnPitch
	if col >= drawnCols || row >= drawnRows {
		return 0, 0
	}
	side := func(d int) (bool, float64) { // half a gap at either end of the pitch
		if d < gap/2 {
			return true, (float64(d) + .5) / float64(gap) * 2
		}
		if d >= drawnPitch-gap/2 {
			return true, (float64(d-drawnPitch) + .5) / float64(gap) * 2
		}
		return false, 0
	}
	if in, a := side(dx); in {
		return 0, a
	}
	if in, a := side(dy); in {
		return 0, a
	}
	return row*drawnCols + col + 1, 0
}
