package sheet

import (
	"image"
	"image/color"

	"gapshade/preview"
)

// Places of the greys in the palette of a map of confidence.
const (
	trustGround uint8 = iota
	trustGap
	trustTile
	trustCut
	trustDoubt
)

// Hatching: lines doubtWidth px wide, every doubtPitch px where a region is below
// the good mark and twice as dense where it is below littleTrust.
const (
	doubtPitch, doubtWidth = 14, 2
	littleTrust            = 0.5
)

// Trust draws how far to trust the gaps, in greys only, because colours here would
// be read as grout: tiles light, gaps dark, hatched where the finder was in doubt,
// and tiles cut at the edge white.
func (m *Maps) Trust() *image.Paletted {
	grey := func(v uint8) color.RGBA { return color.RGBA{v, v, v, 0xff} }
	img := image.NewPaletted(image.Rect(0, 0, m.cells.w, m.cells.h),
		color.Palette{surround, grey(0x4a), grey(0xc4), grey(0xff), grey(0x10)})
	for y := range m.cells.h {
		for x := range m.cells.w {
			img.Pix[y*img.Stride+x] = m.trustAt(x, y)
		}
	}
	return img
}

func (m *Maps) trustAt(x, y int) uint8 {
	v := m.cells.at(x, y)
	if v == cellOutside {
		return trustGround
	}
	switch sure := m.sureAt(x, y); {
	case sure < littleTrust && (x+y)%(doubtPitch/2) < doubtWidth,
		sure < preview.GoodConfidence && (x+y)%doubtPitch < doubtWidth:
		return trustDoubt
	case v == cellGap:
		return trustGap
	case m.p.Map.Tiles[v-1].Cut:
		return trustCut
	}
	return trustTile
}

// sureAt reads the confidence of a place of the reduced map, 0…1; 1 where nothing
// is known.
func (m *Maps) sureAt(x, y int) float64 {
	s, crop := &m.p.Map.Sure, Crop(m.p)
	if len(s.Of) == 0 {
		return 1
	}
	at := func(v, n, from, size, cells int) int {
		px := float64(from) + (float64(v)+.5)*float64(size)/float64(n)
		return min(max(int(px/s.CellPx), 0), cells-1)
	}
	v := s.Of[at(y, m.cells.h, crop.Min.Y, crop.Dy(), s.H)*s.W+at(x, m.cells.w, crop.Min.X, crop.Dx(), s.W)]
	if v == 0 {
		return 1
	}
	return float64(v) / 255
}
