package preview

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
)

// Layouts of any outline, drawn with a character a tile: 36 px with gaps of 8, the bed
// white paper, 48 px of it all round.
const freePitch, freeTile, freeMargin = 44.0, 36.0, 48.0

var (
	roundLayout = []string{
		"...####...",
		".########.",
		".########.",
		"##########",
		"##########",
		"##########",
		"##########",
		".########.",
		".########.",
		"...####..."}
	framedLayout = []string{
		"############",
		"############",
		"############",
		"###......###",
		"###......###",
		"###......###",
		"###......###",
		"###......###",
		"############",
		"############",
		"############"}
)

// tilesOf counts the tiles of such a layout.
func tilesOf(rows []string) (n int) {
	for _, r := range rows {
		for _, c := range r {
			if c == '#' {
				n++
			}
		}
	}
	return n
}

// photoOf is a photo of a layout: soft edges, shadow on the paper beside the tiles, noise.
func photoOf(t *testing.T, rows []string) *photo.Photo {
	t.Helper()
	rng := rand.New(rand.NewPCG(14, 7))
	w, h := int(2*freeMargin+float64(len(rows[0]))*freePitch), int(2*freeMargin+float64(len(rows))*freePitch)
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	paper := colormath.Lab{L: 93}.LinearRGB()
	for y := range h {
		for x := range w {
			inside, col, row := inFree(rows, float64(x), float64(y))
			own := drawnColours[(col*5+row*3+30)%3].LinearRGB()
			k, a := 1-drawnShadow*math.Exp(-max(0, -inside)/3), min(max(inside+.5, 0), 1)
			var v [3]uint8
			for i, p := range [3]float64{k*paper.R*(1-a) + a*own.R, k*paper.G*(1-a) + a*own.G, k*paper.B*(1-a) + a*own.B} {
				v[i] = uint8(min(max(float64(colormath.Encode8(float32(p)))+math.Round(drawnNoiseDev*rng.NormFloat64()), 0), 255))
			}
			img.SetRGBA(x, y, color.RGBA{v[0], v[1], v[2], 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	ph, err := photo.Open(t.Context(), "free.png", bytes.NewReader(b.Bytes()), photo.Limits{})
	require.NoError(t, err)
	return ph
}

// inFree is how far a place lies inside the nearest tile, negative outside, and which.
func inFree(rows []string, x, y float64) (inside float64, col, row int) {
	inside = -99
	c0, r0 := int(math.Floor((x-freeMargin)/freePitch)), int(math.Floor((y-freeMargin)/freePitch))
	for r := r0 - 1; r <= r0+1; r++ {
		for c := c0 - 1; c <= c0+1; c++ {
			if r < 0 || r >= len(rows) || c < 0 || c >= len(rows[r]) || rows[r][c] != '#' {
				continue
			}
			dx := freeTile/2 - math.Abs(x-freeMargin-(float64(c)+.5)*freePitch)
			dy := freeTile/2 - math.Abs(y-freeMargin-(float64(r)+.5)*freePitch)
			d := min(dx, dy)
			if dx < 0 && dy < 0 {
				d = -math.Hypot(dx, dy)
			}
			if d > inside {
				inside, col, row = d, c, r
			}
		}
	}
	return inside, col, row
}

// A round panel, 10 tiles across: 440 px with the shoulder of half a gap. 220 mm are
// then half a millimetre a pixel, of the box round it; areas follow from that alone, and
// nothing is read from corners. (14)
func TestAFreePanelIsMeasuredByItsBox(t *testing.T) {
	s := Default()
	s.WidthMm, s.HeightMm = 220, 220
	p, err := Make(t.Context(), photoOf(t, roundLayout), s)
	require.NoError(t, err)
	n := float64(tilesOf(roundLayout))
	assert.Len(t, p.Map.Tiles, int(n))
	assert.True(t, p.Frame.Free)
	assert.InDelta(t, .5, p.Frame.MmPerPx, .01)
	assert.Equal(t, colormath.Homography{}, p.Frame.ToPanel)
	assert.InEpsilon(t, n*freePitch*freePitch, p.Map.PanelPx, .03)
	assert.InEpsilon(t, n*(freePitch*freePitch-freeTile*freeTile)*.25, p.GapArea(), .12)
	codes := notesBut(p)
	assert.Contains(t, codes, "panel-free")
	for _, c := range []string{"tilted", "size-shape", "panel-found"} {
		assert.NotContains(t, codes, c)
	}
}

// Width and height that are swapped, or wrong, show in the box: 1.3 to 1 against 1 to 1.
func TestAFreePanelsSizeIsHeldAgainstItsBox(t *testing.T) {
	s := Default()
	s.WidthMm, s.HeightMm = 260, 200
	p, err := Make(t.Context(), photoOf(t, roundLayout), s)
	require.NoError(t, err)
	assert.Contains(t, notesBut(p), "size-shape")
}

// Without corners nothing can be straightened: a note says so, and the frame is the
// photo. With corners given those are the panel.
func TestAFreePanelIsNotStraightened(t *testing.T) {
	s, ph := Default(), photoOf(t, roundLayout)
	s.Straighten = true
	p, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	i := slices.IndexFunc(p.Notes, func(n Note) bool { return n.Code == "not-straightened" })
	require.GreaterOrEqual(t, i, 0)
	assert.Contains(t, p.Notes[i].Text, "--corners")
	assert.Equal(t, ph.W, p.Frame.W)
	assert.True(t, p.Frame.Free)
}

// An opening in a panel with four corners stays one when it is straightened: 6 × 5
// places, less the shoulder.
func TestAnOpeningIsStraightenedWithItsPanel(t *testing.T) {
	s := Default()
	for _, s.Straighten = range []bool{false, true} {
		p, err := Make(t.Context(), photoOf(t, framedLayout), s)
		require.NoError(t, err)
		assert.False(t, p.Frame.Free)
		require.Len(t, p.Frame.Holes, 1, "straightened: %v", s.Straighten)
		assert.InEpsilon(t, float64(tilesOf(framedLayout))*freePitch*freePitch, p.Map.PanelPx, .03)
		assert.InDelta(t, 1-freeTile*freeTile/freePitch/freePitch, p.Map.GapShare, .04)
	}
}
