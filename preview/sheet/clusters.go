package sheet

import (
	"image"
	"image/color"
	"math"

	"gapshade/preview"
)

// clusterPx is the width of a picture of one cluster, px.
const clusterPx = 320

// others is what stands in for all tiles of other colours: a little lighter than
// the surround, so that they are seen to be there and draw no attention.
var others = color.RGBA{0x80, 0x80, 0x80, 0xff}

// Clusters draws one picture for each cluster of tile colours: its tiles as
// photographed, all others and the gaps in grey. bare is the bare layout as Thumb
// gives it.
func (s *Sheet) Clusters(p *preview.Proof, bare *image.RGBA) []*image.RGBA {
	if p.Panel == nil {
		return nil
	}
	small := Thumb(bare, bare.Bounds(), min(clusterPx, bare.Bounds().Dx()), 1)
	w, h := small.Rect.Dx(), small.Rect.Dy()
	out := make([]*image.RGBA, len(p.Panel.Clusters))
	for k := range out {
		out[k] = image.NewRGBA(small.Rect)
	}
	for y := range h {
		for x := range w {
			// The tile in the middle of the pixel; finer would show no more.
			at := s.crop.Min.Add(image.Pt((2*x+1)*s.crop.Dx()/(2*w), (2*y+1)*s.crop.Dy()/(2*h)))
			tile := int(p.Map.Label[at.Y*p.Map.W+at.X])
			for k, img := range out {
				c := surround
				if tile > 0 {
					if c = others; p.Panel.Of[tile-1] == k {
						c = small.RGBAAt(x, y)
					}
				}
				img.SetRGBA(x, y, c)
			}
		}
	}
	return out
}

// What a glance may take up on the screen, mm: a whole panel that is smaller, or
// a window on a larger one.
const (
	glanceMostMm = 150.0
	windowWideMm = 64.0
	windowHighMm = 45.0
)

// Pixels of a glance per mm on the screen: a quarter more than a plain screen has
// (96 per inch), for finer ones.
const glancePerMm = 1.25 * 96 / 25.4

// Glance is what of a panel is seen from a distance, on a screen at screenMm from
// the eye.
type Glance struct {
	WidthMm float64         // on the screen
	Cut     bool            // a window on the panel
	Crop    image.Rectangle // frame px
}

// GlanceFrom says what is shown of the panel from a distance in metres: all of it
// where that fits, else a window in the middle of it. ok is false without a scale.
func (s *Sheet) GlanceFrom(p *preview.Proof, metres, screenMm float64) (g Glance, ok bool) {
	if p.Frame.MmPerPx == 0 {
		return g, false
	}
	perPx := p.Frame.MmPerPx * screenMm / (1000 * metres) // screen mm per frame px
	g = Glance{WidthMm: float64(s.crop.Dx()) * perPx, Crop: s.crop}
	if max(g.WidthMm, float64(s.crop.Dy())*perPx) > glanceMostMm {
		w, h := int(math.Round(windowWideMm/perPx)), int(math.Round(windowHighMm/perPx))
		mid := s.crop.Min.Add(s.crop.Max).Div(2)
		window := image.Rect(mid.X-w/2, mid.Y-h/2, mid.X-w/2+w, mid.Y-h/2+h).Intersect(s.crop)
		g = Glance{WidthMm: float64(window.Dx()) * perPx, Cut: true, Crop: window}
	}
	return g, !g.Crop.Empty()
}

// Draw reduces what the glance shows. A window is taken from the full-size picture,
// the whole panel from its thumbnail on the sheet, which is quicker by as much as it
// is smaller and no finer than a screen can show.
func (g *Glance) Draw(full, thumb *image.RGBA) *image.RGBA {
	w := max(1, int(math.Round(g.WidthMm*glancePerMm)))
	if g.Cut {
		return Thumb(full, g.Crop, w, 1)
	}
	return Thumb(thumb, thumb.Bounds(), min(w, thumb.Bounds().Dx()), 1)
}
