package preview

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// sizedSettings say everything that is known about the drawing.
func sizedSettings(t *testing.T) Settings {
	t.Helper()
	s := Default()
	var err error
	s.Bed, err = ParseBed("white")
	require.NoError(t, err)
	s.Corners, s.WidthMm, s.HeightMm = &drawnPanel, drawnMmPerPx*drawnPanelW, drawnMmPerPx*drawnPanelH
	return s
}

// sized is one run with these settings, for the tests that only look at it.
func sized(t *testing.T) *Proof {
	t.Helper()
	sizedOnce.Do(func() { sizedProof, sizedErr = Make(context.Background(), drawnPhoto(t), sizedSettings(t)) })
	require.NoError(t, sizedErr)
	return sizedProof
}

var (
	sizedOnce  sync.Once
	sizedProof *Proof
	sizedErr   error
)

// The whole way on a drawing whose every figure is known: 59 tiles, gaps of 8 px
// = 4 mm, 27.9 % of the panel, three colours, a fall of light of 24 %.
func TestMakeOnKnownLayout(t *testing.T) {
	p := sized(t)
	assert.Len(t, p.Map.Tiles, drawnTiles)
	assert.InDelta(t, drawnShare(), p.Map.GapShare, .015, "gap share")
	assert.InDelta(t, drawnGap, p.Map.GapWidthPx.P50, .5)
	assert.InDelta(t, drawnMmPerPx, p.Frame.MmPerPx, 1e-9)
	assert.Equal(t, drawnPanel, p.Frame.Panel)
	assert.Greater(t, p.Map.Confidence, GoodConfidence)

	// The paper is L* 93 and the light 1 on the mean, so it shows as about that;
	// the light falls by .24 over the picture, .21 over the panel.
	assert.True(t, p.Light.BedKnown)
	assert.InDelta(t, 93, p.Light.BedLab.L, 2)
	assert.InDelta(t, .24*drawnPanelW/drawnW, p.Light.Unevenness, .05)
	assert.InDeltaSlice(t, []float64{1, 1, 1}, p.Light.Cast[:], .02)

	// Every tile has its own colour, the fall of light taken out: ΔE00 2 is a
	// difference that few see.
	require.Len(t, p.TileLab, drawnTiles)
	seen := map[int]bool{}
	for i, lab := range p.TileLab {
		c := p.Map.Tiles[i].Centre
		inside, _, tile := placeIn(c.X, c.Y)
		require.Greater(t, inside, 5.0, "tile %d lies where one was drawn", i+1)
		seen[tile] = true
		assert.LessOrEqual(t, colormath.DeltaE2000(drawnColours[tile%3], lab), 2.0, "tile %d", i+1)
	}
	assert.Len(t, seen, drawnTiles, "each drawn tile was found once")
	assert.Empty(t, notesBut(p, "profile-assumed", "too-close"), "nothing to remark")
}

// drawnShare adds the gap up over the panel.
func drawnShare() float64 {
	sum := 0.0
	for y := drawnY0; y < drawnY0+drawnPanelH; y++ {
		for x := drawnX0; x < drawnX0+drawnPanelW; x++ {
			inside, _, _ := placeIn(float64(x), float64(y))
			sum += 1 - min(max(inside+.5, 0), 1)
		}
	}
	return sum / (drawnPanelW * drawnPanelH)
}

func notesBut(p *Proof, but ...string) (codes []string) {
	for _, n := range p.Notes {
		if !slices.Contains(but, n.Code) {
			codes = append(codes, n.Code)
		}
	}
	return codes
}

// The trials are all shades once, best first, numbered, each with its reason,
// and measured against every tile.
func TestTrialsAreRanked(t *testing.T) {
	assert.Equal(t, sized(t).Trials, try(sized(t), sizedSettings(t)))
	for _, aim := range []Aim{Outline, Balance, Blend} {
		s := sizedSettings(t)
		s.Aim = aim
		trials := try(sized(t), s)
		require.Len(t, trials, 11)
		ids := map[string]bool{}
		for i, trial := range trials {
			ids[trial.Shade.ID] = true
			assert.Equal(t, i+1, trial.Rank)
			assert.Len(t, trial.Tiles, drawnTiles)
			assert.Regexp(t, `^(Lighter|Darker) than .*\.$`, trial.Reason)
			if i > 0 {
				assert.LessOrEqual(t, trial.Score, trials[i-1].Score)
				assert.Contains(t, trial.Reason, trials[i-1].Shade.ID)
			}
		}
		assert.Len(t, ids, 11)
		// The tiles are L* 38, 58 and 46: white stands out most, mid or dark least.
		switch aim {
		case Outline:
			assert.Equal(t, "light", trials[0].Shade.Depth)
		case Blend:
			assert.NotEqual(t, "light", trials[0].Shade.Depth)
			white := slices.IndexFunc(trials, func(t Trial) bool { return t.Shade.ID == "near-white" })
			assert.Equal(t, trials[10].Score, trials[white].Score, "nothing blends less")
		}
	}
}

// Same photo, same settings: the same answer and the same pictures for any
// number of threads.
func TestMakeDoesNotDependOnThreads(t *testing.T) {
	var proofs []*Proof
	for _, threads := range []int{1, 3} {
		s := sizedSettings(t)
		s.Threads = threads
		p, err := Make(t.Context(), drawnPhoto(t), s)
		require.NoError(t, err)
		proofs = append(proofs, p)
	}
	one := proofs[0]
	for _, p := range proofs[1:] {
		assert.Equal(t, one.Map, p.Map)
		assert.Equal(t, one.TileLab, p.TileLab)
		assert.Equal(t, one.Trials, p.Trials)
		assert.Equal(t, one.Light, p.Light)
		assert.Equal(t, one.Notes, p.Notes)
		for _, i := range []int{0, 10} {
			assert.True(t, bytes.Equal(one.Draw(i).Pix, p.Draw(i).Pix), "picture %d", i)
		}
	}
}

// The picture of the grouted panel: tiles as they were, joints of the new
// colour under the light of their place.
func TestDraw(t *testing.T) {
	p := sized(t)
	ph := p.Photo
	before := bytes.Clone(ph.RGBA().Pix)
	i := slices.IndexFunc(p.Trials, func(t Trial) bool { return t.Shade.ID == "mid-warm" })
	img := p.Draw(i)
	assert.Equal(t, image.Rect(0, 0, drawnW, drawnH), img.Rect)
	assert.Equal(t, before, ph.RGBA().Pix, "the photo is not painted on")

	// Off the panel and deep in the tiles nothing changes.
	for y := range drawnH {
		for x := range drawnW {
			inside, _, _ := placeIn(float64(x), float64(y))
			off := x < drawnX0-1 || y < drawnY0-1 || x > drawnX0+drawnPanelW || y > drawnY0+drawnPanelH
			if off || inside > 4 {
				require.Equal(t, ph.RGBA().RGBAAt(x, y), img.RGBAAt(x, y), "%d,%d", x, y)
			}
		}
	}
	// In the middle of the first level joint: light times reflectance. A joint of
	// 4 mm that lies 0.8 mm low sees 0.93 of the sky there (view factor of a
	// groove), so little of the light is lost.
	rho := p.Trials[i].Shade.Lab.LinearRGB().G
	y := drawnY0 + drawnTall + drawnGap/2
	for x := 60; x < 580; x += 40 {
		got := float64(colormath.Decode8(img.RGBAAt(x, int(y)).G))
		assert.InDelta(t, .95, got/drawnLight(float64(x))/rho, .08, "at %d", x)
	}
}

// Without corners the panel is found: the laid tiles and half a gap round them,
// to 3 px; the notes say what was assumed.
func TestPanelIsFound(t *testing.T) {
	p, err := Make(t.Context(), drawnPhoto(t), Default())
	require.NoError(t, err)
	assert.Len(t, p.Map.Tiles, drawnTiles)
	top := drawnY0 + drawnGap/2 + .5
	left, right := float64(drawnX0+drawnGap), drawnX0+8*drawnLong
	for i, want := range [4][2]float64{{left - 4, top}, {right + 4, top}, {right + 4, top + 7*drawnTall}, {left - 4, top + 7*drawnTall}} {
		assert.InDelta(t, want[0], p.Frame.Panel[i].X, 3, "corner %d", i)
		assert.InDelta(t, want[1], p.Frame.Panel[i].Y, 3, "corner %d", i)
	}
	assert.Zero(t, p.Frame.MmPerPx)
	assert.Equal(t, []string{"panel-found", "no-size", "bed-unknown"}, notesBut(p, "profile-assumed", "too-close"))
	assert.False(t, p.Light.BedKnown)
	assert.Equal(t, [3]float64{1, 1, 1}, p.Light.Cast)
}

// A hint in millimetres becomes pixels by the size and the corners: 4 mm on half
// a millimetre per pixel.
func TestGapHint(t *testing.T) {
	s := sizedSettings(t)
	s.GapMm = drawnGap * drawnMmPerPx
	assert.InDelta(t, drawnGap, s.options().GapPx, 1e-9)
	p, err := Make(t.Context(), drawnPhoto(t), s)
	require.NoError(t, err)
	assert.Len(t, p.Map.Tiles, drawnTiles)
}

// Between sure and hopeless there is a picture with a note, which --strict turns
// into code 6. How many tiles it takes to be sure is the finder's business; with
// a few of them it is not.
func TestStrict(t *testing.T) {
	for tiles := 3; tiles <= 12; tiles++ {
		s := Default()
		right := drawnX0 + drawnGap/2 + float64(tiles)*drawnLong
		bottom := drawnY0 + drawnGap/2 + .5 + drawnTall
		if tiles > 8 {
			right, bottom = drawnX0+drawnGap/2+float64(tiles)/2*drawnLong, bottom+drawnTall
		}
		s.Corners = &segment.Quad{{X: drawnX0, Y: drawnY0}, {X: right, Y: drawnY0}, {X: right, Y: bottom}, {X: drawnX0, Y: bottom}}
		p, err := Make(t.Context(), drawnPhoto(t), s)
		if err != nil {
			continue
		}
		if !slices.Contains(notesBut(p), "unsure") {
			t.Fatalf("sure of %d tiles, and never unsure before", tiles)
		}
		assert.Less(t, p.Map.Confidence, GoodConfidence)
		s.Strict = true
		_, err = Make(t.Context(), drawnPhoto(t), s)
		f, ok := err.(*Fault)
		require.True(t, ok, "%v", err)
		assert.Equal(t, CodeNoGaps, f.Code)
		return
	}
	t.Fatal("no part of the layout was found at all")
}

// A plain wall: code 6, with a next step.
func TestMakeOnPlainWall(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 320, 240))
	for i := range img.Pix {
		img.Pix[i] = uint8(180 + 8*math.Sin(float64(i%320)/60) + float64(i*7919%5))
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	ph, err := photo.Open(t.Context(), "wall.png", &b, photo.Limits{})
	require.NoError(t, err)
	_, err = Make(t.Context(), ph, Default())
	f, ok := err.(*Fault)
	require.True(t, ok, "%v", err)
	assert.Equal(t, CodeNoGaps, f.Code)
	assert.NotEmpty(t, f.Why)
	assert.NotEmpty(t, f.Next)
}

// A cancelled run ends with the context's own error.
func TestMakeStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := Make(ctx, drawnPhoto(t), Default())
	assert.ErrorIs(t, err, context.Canceled)
}

// Wrong settings are told before any work.
func TestMakeChecksTheSettings(t *testing.T) {
	s := Default()
	s.Aim = "pretty"
	_, err := Make(t.Context(), drawnPhoto(t), s)
	f, ok := err.(*Fault)
	require.True(t, ok)
	assert.Equal(t, CodeUsage, f.Code)
}

// The drawing is what its comments say.
func TestDrawing(t *testing.T) {
	tiles := map[int]int{}
	for y := range drawnH {
		for x := range drawnW {
			if inside, _, tile := placeIn(float64(x), float64(y)); inside > 0 {
				tiles[tile]++
			}
		}
	}
	assert.Len(t, tiles, drawnTiles)
	img, err := png.Decode(bytes.NewReader(drawnPNG()))
	require.NoError(t, err)
	paper := img.At(8, 8).(color.RGBA)
	assert.InDelta(t, float64(colormath.Encode8(float32(1.117*colormath.Lab{L: 93}.LinearRGB().G))), float64(paper.G), 6)
}
