package contrast

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// Panel is the laid tiles as shades are held against them: every tile's colour
// and weight, the colours in a handful of clusters, and how the joints run. It
// is made once and never changed.
type Panel struct {
	Map      *segment.Map
	Lab      []colormath.Lab // Lab[i] is the colour of tile number i+1, D50
	Burnt    []bool          // Burnt[i]: glare has taken its colour; the tile counts nowhere below
	Clusters []Cluster       // largest first
	Of       []int           // Of[i] is the place of tile i+1 in Clusters, −1 when burnt
	Channels float64         // share of the joints' length that runs on straight through the panel, 0…1

	area    []float64           // px², 0 for burnt tiles
	total   float64             // px²
	share   float64             // of the panel that is gap, 0…1
	own     colormath.LinearRGB // the tiles' mean light, by area
	channel []float64           // per border: its length where it runs on straight, else 0; px
	length  float64             // of all borders, px
	scheme  *scheme             // nil where the map has no pixels
}

// NewPanel prepares a panel. lab and burnt go with m.Tiles. Should every tile be
// burnt out, they are all taken at what they show: some answer is wanted.
func NewPanel(m *segment.Map, lab []colormath.Lab, burnt []bool, threads int) *Panel {
	p := &Panel{Map: m, Lab: lab, Burnt: make([]bool, len(lab)), share: m.GapShare, area: make([]float64, len(lab))}
	left := 0
	for _, b := range burnt {
		if !b {
			left++
		}
	}
	if left > 0 {
		copy(p.Burnt, burnt)
	}
	for i := range lab {
		if !p.Burnt[i] {
			p.area[i] = m.Tiles[i].AreaPx
			p.total += p.area[i]
		}
	}
	p.own = p.mean()
	p.Clusters, p.Of = clustersOf(p)
	if len(m.Label) > 0 && len(lab) > 0 {
		p.scheme = newScheme(m, threads)
	}
	p.follow()
	return p
}

// BurntTiles counts the tiles that count nowhere.
func (p *Panel) BurntTiles() int {
	n := 0
	for _, b := range p.Burnt {
		if b {
			n++
		}
	}
	return n
}

// mean is the tiles' light by area, black when there are none.
func (p *Panel) mean() colormath.LinearRGB {
	var m colormath.LinearRGB
	for i, a := range p.area {
		if a > 0 {
			c := p.Lab[i].LinearRGB()
			m.R, m.G, m.B = m.R+a/p.total*c.R, m.G+a/p.total*c.G, m.B+a/p.total*c.B
		}
	}
	return m
}

// Afar is what the whole panel comes to where tiles and joints can no longer be
// told apart: the mean of their light by area, in Lab.
func (p *Panel) Afar(shade colormath.Lab) colormath.Lab {
	c, g := shade.LinearRGB(), p.share
	return colormath.LinearRGB{
		R: (1-g)*p.own.R + g*c.R, G: (1-g)*p.own.G + g*c.G, B: (1-g)*p.own.B + g*c.B,
	}.Lab()
}

// Shift is how much lighter (above 0) or darker the joint makes the whole panel
// than the tiles are on the mean of their light, in L*.
func (p *Panel) Shift(shade colormath.Lab) float64 { return p.Afar(shade).L - p.own.Lab().L }

// PitchPx is the middle distance from tile to tile: the side of a square that
// holds one tile and its share of the joint, px.
func (p *Panel) PitchPx() float64 {
	return math.Sqrt(p.Map.PanelPx / max(1, float64(len(p.Map.Tiles))))
}

// tintAt is where a pattern turns from outlines that part the tiles to a tint
// that joins them, cycles per degree: colours push apart at .7 and pull together
// at 9, changing over near 4 (Smith, Jin, Pokorny, Vision Res. 41, 1007, 2001).
// Their stripes were equally wide; for thin joints it is a mark, not an edge.
const tintAt = 4.0

// TintFrom is the distance from which the joints tint the panel rather than
// outline the tiles, metres.
func TintFrom(pitchMm float64) float64 { return tintAt / colormath.CyclesPerDegree(1, pitchMm) }
