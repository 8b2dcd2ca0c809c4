package preview

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// pngPhoto opens a picture as a photo comes: through a file of 8 bits.
func pngPhoto(t *testing.T, pic *colormath.Picture) *photo.Photo {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, photo.Encode(pic, 0)))
	ph, err := photo.Open(t.Context(), "layout.png", &b, photo.Limits{})
	require.NoError(t, err)
	return ph
}

// lamp is a yellow light; paperDisc lies on bare paper in the drawing's margin.
var (
	lamp      = [3]float64{.9, .765, .54}
	paperDisc = &light.Card{X: 17, Y: 220, R: 12}
)

// under is the drawing in another light.
func under(t *testing.T, light [3]float64) *photo.Photo {
	pic := drawnPhoto(t).Linear()
	for i := range pic.Pix {
		pic.Pix[i] *= float32(light[i%3])
	}
	return pngPhoto(t, pic)
}

// A card in yellow light brings every tile back to the colour that it has in
// white light of the same luminance, to ΔE00 1; a factor of .6 in the blue moves
// them by far more.
func TestCardTakesTheCastOut(t *testing.T) {
	s := Default()
	s.Corners = &drawnPanel
	y := colormath.LinearRGB{R: lamp[0], G: lamp[1], B: lamp[2]}.Luminance()
	white, err := Make(t.Context(), under(t, [3]float64{y, y, y}), s)
	require.NoError(t, err)
	s.Grey = paperDisc
	ph := under(t, lamp)
	before := bytes.Clone(ph.RGBA().Pix)
	p, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	require.Len(t, p.TileLab, drawnTiles)
	mean := (lamp[0] + lamp[1] + lamp[2]) / 3
	assert.InDeltaSlice(t, []float64{lamp[0] / mean, lamp[1] / mean, lamp[2] / mean}, p.Light.Cast[:], .01)
	for i := range p.TileLab {
		assert.LessOrEqual(t, colormath.DeltaE2000(white.TileLab[i], p.TileLab[i]), 1.0, "tile %d", i+1)
	}
	// The pictures are balanced too, and the photo isn't touched. The card keeps
	// its luminance.
	c, was := p.Base().RGBAAt(17, 220), ph.RGBA().RGBAAt(17, 220)
	assert.InDelta(t, float64(c.R), float64(c.G), 5) // noise of 1.5 codes
	assert.InDelta(t, float64(c.R), float64(c.B), 8) // the same, stretched by 1/.6
	assert.Less(t, int(was.B), int(was.R)-30)
	assert.Equal(t, before, ph.RGBA().Pix)
}

// With the bed known and no card, numbers are balanced but the picture stays
// as the photo shows it.
func TestBedAloneLeavesThePictureAlone(t *testing.T) {
	ph, s := under(t, lamp), sizedSettings(t)
	p, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	assert.Same(t, ph.RGBA(), p.Base())
	assert.Equal(t, [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}, p.Frame.PhotoToFrame)
	mean := (lamp[0] + lamp[1] + lamp[2]) / 3
	assert.InDelta(t, lamp[2]/mean, p.Light.Cast[2], .03)

	// Card and bed together tell the same light: it isn't counted twice.
	s.Grey = paperDisc
	both, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	assert.InDeltaSlice(t, p.Light.Cast[:], both.Light.Cast[:], .02)
	for i := range p.TileLab {
		assert.LessOrEqual(t, colormath.DeltaE2000(p.TileLab[i], both.TileLab[i]), 1.0, "tile %d", i+1)
	}
}

// A card that can't be read is a fault of usage, in one sentence, with a way out.
func TestCardFaults(t *testing.T) {
	ph := drawnPhoto(t)
	for name, c := range map[string]light.Card{"off": {X: 3, Y: 3, R: 9}, "far off": {X: 9000, Y: 3, R: 9}, "tiny": {X: 20, Y: 20, R: 1}} {
		s := Default()
		s.Grey = &c
		_, err := Make(t.Context(), ph, s)
		var f *Fault
		require.ErrorAs(t, err, &f, name)
		assert.Equal(t, CodeUsage, f.Code, name)
		assert.Contains(t, f.What, "--grey", name)
		assert.NotEmpty(t, f.Why, name)
		assert.NotEmpty(t, f.Next, name)
	}
	pic := ph.Linear()
	bright := colormath.NewPicture(pic.W, pic.H)
	for i, v := range pic.Pix {
		bright.Pix[i] = 2 * v
	}
	s := Default()
	s.Grey = paperDisc
	_, err := Make(t.Context(), pngPhoto(t, bright), s)
	require.True(t, errors.Is(err, light.ErrClipped), "%v", err)
}

func TestParseCard(t *testing.T) {
	c, err := ParseCard(" 120.5, 80,16 ")
	require.NoError(t, err)
	assert.Equal(t, &light.Card{X: 120.5, Y: 80, R: 16}, c)
	for _, text := range []string{"", "1,2", "1,2,3,4", "1;2;3", "a,2,3", "1,2,0", "1,2,-4", "NaN,2,3", "1,2,NaN"} {
		_, err := ParseCard(text)
		assert.Error(t, err, "%q", text)
	}
}

// tiltedPanel is where tilted puts the drawing's panel: a camera held askew.
var tiltedPanel = segment.Quad{{X: 92, Y: 60}, {X: 608, Y: 48}, {X: 660, Y: 470}, {X: 40, Y: 440}}

func tilted(t *testing.T) *photo.Photo {
	h, err := colormath.HomographyOf(points(&drawnPanel), points(&tiltedPanel))
	require.NoError(t, err)
	pic, err := colormath.Warp(drawnPhoto(t).Linear(), h, 700, 520, 0)
	require.NoError(t, err)
	return pngPhoto(t, pic)
}

// Straightened, the panel has its true proportions and one scale all over; the
// homography takes the photo's corners to the frame's panel; every tile lies
// where it was drawn, and measures in mm what it was drawn with.
func TestStraighten(t *testing.T) {
	s := sizedSettings(t)
	s.Corners, s.Straighten = &tiltedPanel, true
	p, err := Make(t.Context(), tilted(t), s)
	require.NoError(t, err)
	assert.Equal(t, image.Rect(0, 0, p.Frame.W, p.Frame.H), p.Base().Rect)
	assert.Equal(t, p.Base().Rect, p.Draw(0).Rect)
	assert.Equal(t, [2]int{p.Frame.W, p.Frame.H}, [2]int{p.Map.W, p.Map.H})

	// The panel is a rectangle of 560 : 380 with a margin of 4 % round it.
	q := p.Frame.Panel
	w, h := q[1].X-q[0].X, q[3].Y-q[0].Y
	assert.InDelta(t, 560.0/380, w/h, 1e-9)
	assert.InDelta(t, tiltedPanel.Area(), w*h, 1e-6)
	assert.InDelta(t, .04*w, q[0].X, 1)
	assert.InDelta(t, .04*w, float64(p.Frame.W)-q[1].X, 2)
	for i, c := range tiltedPanel {
		x, y := colormath.Homography(p.Frame.PhotoToFrame).Apply(c.X, c.Y)
		assert.InDeltaSlice(t, []float64{q[i].X, q[i].Y}, []float64{x, y}, 1e-9, "corner %d", i)
	}
	// 280 mm over w px, the same across and down.
	mm := p.Frame.MmPerPx
	assert.InDelta(t, drawnMmPerPx*drawnPanelW/w, mm, 1e-9)
	assert.InDelta(t, drawnMmPerPx*drawnPanelH/h, mm, 1e-9)

	require.Len(t, p.Map.Tiles, drawnTiles)
	assert.InDelta(t, drawnGap*drawnMmPerPx, p.Map.GapWidthPx.P50*mm, .35, "gap, mm")
	assert.InDelta(t, drawnShare(), p.Map.GapShare, .025)
	for i, tile := range p.Map.Tiles {
		x := drawnX0 + (tile.Centre.X-q[0].X)*mm/drawnMmPerPx
		y := drawnY0 + (tile.Centre.Y-q[0].Y)*mm/drawnMmPerPx
		inside, _, n := placeIn(x, y)
		require.Greater(t, inside, 10.0, "tile %d", i+1)
		assert.LessOrEqual(t, colormath.DeltaE2000(drawnColours[n%3], p.TileLab[i]), 2.0, "tile %d", i+1)
	}
	assert.Empty(t, notesBut(p, "profile-assumed", "too-close"), "tilt that was taken out needs no remark")
}

// A panel that is found is straightened as well; without a size the proportions
// come from the sides' mean lengths.
func TestStraightenFound(t *testing.T) {
	s := Default()
	s.Straighten = true
	p, err := Make(t.Context(), tilted(t), s)
	require.NoError(t, err)
	assert.Len(t, p.Map.Tiles, drawnTiles)
	// The found panel is the laid tiles and half a gap, as the drawing has them.
	toPhoto, err := colormath.HomographyOf(points(&drawnPanel), points(&tiltedPanel))
	require.NoError(t, err)
	top, left, right := float64(drawnY0)+drawnGap/2+.5, drawnX0+drawnGap/2, drawnX0+8*drawnLong+drawnGap/2
	want := segment.Quad{{X: left, Y: top}, {X: right, Y: top}, {X: right, Y: top + 7*drawnTall}, {X: left, Y: top + 7*drawnTall}}
	q := p.Frame.Panel
	back, ok := colormath.Homography(p.Frame.PhotoToFrame).Inverse()
	require.True(t, ok)
	var side [4]float64
	for i := range q {
		x0, y0 := back.Apply(q[i].X, q[i].Y)
		x1, y1 := back.Apply(q[(i+1)%4].X, q[(i+1)%4].Y)
		side[i] = math.Hypot(x1-x0, y1-y0)
		x, y := toPhoto.Apply(want[i].X, want[i].Y)
		assert.InDelta(t, x, x0, 5, "corner %d", i)
		assert.InDelta(t, y, y0, 5, "corner %d", i)
	}
	assert.InDelta(t, (side[0]+side[2])/(side[1]+side[3]), (q[1].X-q[0].X)/(q[3].Y-q[0].Y), 1e-6)
	assert.Contains(t, notesBut(p), "panel-found")
}

// A size that can't be the panel's is told: 1 : 4 against a panel of 3 : 2.
func TestStraightenChecksTheSize(t *testing.T) {
	s := sizedSettings(t)
	s.Straighten, s.WidthMm, s.HeightMm = true, 100, 400
	_, err := Make(t.Context(), drawnPhoto(t), s)
	var f *Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, CodeUsage, f.Code)
	s.WidthMm, s.HeightMm = 400, 400 // 1 : 1 is odd, yet a strong tilt could do it
	p, err := Make(t.Context(), drawnPhoto(t), s)
	require.NoError(t, err)
	assert.Contains(t, notesBut(p), "size-shape")
}
