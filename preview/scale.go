package preview

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// toPanel takes frame px to mm on the panel, origin at its top-left corner; the zero
// matrix when the size is not known.
func (s *Settings) toPanel(q segment.Quad) (h colormath.Homography) {
	if s.WidthMm == 0 || s.HeightMm == 0 {
		return h
	}
	var from [4][2]float64
	for i, p := range q {
		from[i] = [2]float64{p.X, p.Y}
	}
	w, l := s.WidthMm, s.HeightMm
	h, err := colormath.HomographyOf(from, [4][2]float64{{0, 0}, {w, 0}, {w, l}, {0, l}})
	if err != nil { // corners that make no panel have been refused by now
		return colormath.Homography{}
	}
	return h
}

// Mm2PerPx is the area of panel that a pixel of the frame shows at (x, y), mm²: less
// of it near the camera, more far from it. 1 when the size is not known, so that
// areas stay px².
func (f *Frame) Mm2PerPx(x, y float64) float64 {
	h := f.ToPanel
	if h == (colormath.Homography{}) {
		if f.MmPerPx > 0 {
			return f.MmPerPx * f.MmPerPx
		}
		return 1
	}
	// The area factor of a homography: its determinant over the third power of
	// its denominator. Hartley, Zisserman, Multiple View Geometry, 2nd ed. (2004),
	// §2.4; by differentiation.
	det := h[0]*(h[4]*h[8]-h[5]*h[7]) - h[1]*(h[3]*h[8]-h[5]*h[6]) + h[2]*(h[3]*h[7]-h[4]*h[6])
	d := h[6]*x + h[7]*y + h[8]
	return math.Abs(det / (d * d * d))
}

// TileArea is the area of tile number i+1, mm² when the size is known, else px².
func (p *Proof) TileArea(i int) float64 {
	t := &p.Map.Tiles[i]
	return t.AreaPx * p.Frame.Mm2PerPx(t.Centre.X, t.Centre.Y)
}

// areaBlock is how far, in px, the scale is taken for constant when areas are added
// up: over 16 px of a photo it changes by less than a thousandth.
const areaBlock = 16

// GapArea is the area of all gaps, the panel's rim included, mm² when the size is
// known, else px².
func (p *Proof) GapArea() float64 {
	total := 0.
	for _, s := range p.Map.Inside {
		row := p.Map.Gap[s.Y*p.Map.W : (s.Y+1)*p.Map.W]
		for x := s.X0; x < s.X1; x += areaBlock {
			end, sum := min(x+areaBlock, s.X1), 0
			for _, g := range row[x:end] {
				sum += int(g)
			}
			if sum > 0 {
				total += float64(sum) / 255 * p.Frame.Mm2PerPx(float64(x+end-1)/2, float64(s.Y))
			}
		}
	}
	return total
}
