package sheet

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/contrast"
)

// coloured is the canned layout with tiles 1, 2 and 5 red and the others blue, and
// its photo.
func coloured() (*preview.Proof, *image.RGBA) {
	p := canned()
	red, blue := colormath.Lab{L: 45, A: 60, B: 40}, colormath.Lab{L: 40, A: 5, B: -45}
	labs := []colormath.Lab{red, red, blue, blue, red, blue}
	for i := range p.Map.Tiles {
		p.Map.Tiles[i].AreaPx = 100
	}
	p.Panel = contrast.NewPanel(p.Map, labs, nil, 1)
	img := image.NewRGBA(image.Rect(0, 0, p.Map.W, p.Map.H))
	for i, t := range p.Map.Label {
		c := color.RGBA{250, 250, 250, 255}
		if t > 0 {
			c = srgb(labs[t-1])
		}
		img.SetRGBA(i%p.Map.W, i/p.Map.W, c)
	}
	return p, img
}

// Every picture shows its own tiles in the photo's colours, the others and the gaps
// in grey: read at the middle of each tile.
func TestClusterPictures(t *testing.T) {
	p, photo := coloured()
	s := New(p)
	pics := s.Clusters(p, s.Thumb(photo))
	require.Len(t, pics, len(p.Panel.Clusters))
	require.Len(t, pics, 2)
	middles := []image.Point{{50, 60}, {110, 60}, {200, 60}, {80, 120}, {150, 120}, {210, 120}} // px of cannedRows, 20 to a letter
	for k, pic := range pics {
		for tile, m := range middles {
			x := (m.X - s.Crop().Min.X) * pic.Rect.Dx() / s.Crop().Dx()
			y := (m.Y - s.Crop().Min.Y) * pic.Rect.Dy() / s.Crop().Dy()
			got := pic.RGBAAt(x, y)
			if p.Panel.Of[tile] == k {
				assert.NotEqual(t, got.R, got.B, "tile %d in its own picture", tile+1)
			} else {
				assert.Equal(t, others, got, "tile %d in another's", tile+1)
			}
		}
		gap := pic.RGBAAt((80-s.Crop().Min.X)*pic.Rect.Dx()/s.Crop().Dx(), (60-s.Crop().Min.Y)*pic.Rect.Dy()/s.Crop().Dy())
		assert.Equal(t, surround, gap)
		assert.LessOrEqual(t, pic.Rect.Dx(), clusterPx)
	}
	assert.Empty(t, New(canned()).Clusters(canned(), photo), "no panel, no clusters")
}

// The angle on the screen is the panel's own: a width of w mm at D m fills as much
// as w · .6/D mm at 60 cm. The crop is 240 + 2 · 5 px, here of 2 mm.
func TestGlanceHasTheTrueAngle(t *testing.T) {
	p, photo := coloured()
	p.Frame.MmPerPx = 2
	s := New(p)
	wide := 2 * float64(s.Crop().Dx())
	g, ok := s.GlanceFrom(p, 5, 600)
	require.True(t, ok)
	assert.False(t, g.Cut)
	assert.InDelta(t, wide*.6/5, g.WidthMm, 1e-9)
	thumb := s.Thumb(photo)
	assert.InDelta(t, g.WidthMm*glancePerMm, g.Draw(photo, thumb).Rect.Dx(), 1)

	// Half a metre: 600 mm on the screen are too many, so a window of 64 by 45.
	g, ok = s.GlanceFrom(p, .5, 600)
	require.True(t, ok)
	assert.True(t, g.Cut)
	assert.InDelta(t, windowWideMm, g.WidthMm, 2.5, "to a pixel of 2.4 mm")
	assert.InDelta(t, windowWideMm/(2*.6/.5), g.Crop.Dx(), 1)
	assert.InDelta(t, windowHighMm/(2*.6/.5), g.Crop.Dy(), 1)
	assert.True(t, g.Crop.In(s.Crop()))
	mid := s.Crop().Min.Add(s.Crop().Max).Div(2)
	assert.True(t, mid.In(g.Crop), "the middle of the panel")
	drawn := g.Draw(photo, thumb)
	x, y := (mid.X-g.Crop.Min.X)*drawn.Rect.Dx()/g.Crop.Dx(), (mid.Y-g.Crop.Min.Y)*drawn.Rect.Dy()/g.Crop.Dy()
	assert.Equal(t, photo.RGBAAt(mid.X, mid.Y), drawn.RGBAAt(x+1, y+1), "from the full-size picture")

	p.Frame.MmPerPx = 0
	_, ok = s.GlanceFrom(p, 2, 600)
	assert.False(t, ok)
}
