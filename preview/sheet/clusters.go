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
	w := min(clusterPx, bare.Bounds().Dx())
	small := Thumb(bare, bare.Bounds(), w)
	c := reduce(p.Map, s.crop, max(small.Bounds().Dx(), small.Bounds().Dy()))
	var out []*image.RGBA
	for k := range p.Panel.Clusters {
		img := image.NewRGBA(small.Bounds())
		for y := range img.Rect.Dy() {
			for x := range img.Rect.Dx() {
				at := surround
				if v := c.at(min(x*c.w/img.Rect.Dx(), c.w-1), min(y*c.h/img.Rect.Dy(), c.h-1)); v > 0 {
					if at = others; p.Panel.Of[v-1] == k {
						at = small.RGBAAt(x, y)
					}
				}
				img.SetRGBA(x, y, at)
			}
		}
		out = append(out, img)
	}
	return out
}

// What a glance may take up on the screen, mm: a whole panel that is smaller, or
// a window on a larger one.
const (
	glanceMostMm = 150.0
	windowWideMm = 70.0
	windowHighMm = 50.0
)

// Pixels of a glance per mm on the screen: half again as many as a plain screen
// has (96 per inch), for finer ones.
const glancePerMm = 1.5 * 96 / 25.4

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

// Draw reduces the part of a full-size picture that the glance shows.
func (g *Glance) Draw(full *image.RGBA) *image.RGBA {
	return Thumb(full, g.Crop, max(1, int(math.Round(g.WidthMm*glancePerMm))))
}
