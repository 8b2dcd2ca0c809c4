package preview

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// blurred is a picture seen through a Gaussian of sigma px, in linear light,
// edges repeated: two passes of the plain sum.
func blurred(pic *colormath.Picture, sigma float64) *colormath.Picture {
	if sigma == 0 {
		return pic
	}
	r := int(4*sigma) + 1
	kernel := make([]float64, 2*r+1)
	sum := 0.0
	for i := range kernel {
		kernel[i] = math.Exp(-math.Pow(float64(i-r), 2) / (2 * sigma * sigma))
		sum += kernel[i]
	}
	pass := func(in *colormath.Picture, dx, dy int) *colormath.Picture {
		out := colormath.NewPicture(in.W, in.H)
		for y := range in.H {
			for x := range in.W {
				var c colormath.LinearRGB
				for i, k := range kernel {
					p := in.At(min(max(x+dx*(i-r), 0), in.W-1), min(max(y+dy*(i-r), 0), in.H-1))
					c.R, c.G, c.B = c.R+k/sum*p.R, c.G+k/sum*p.G, c.B+k/sum*p.B
				}
				out.Set(x, y, c)
			}
		}
		return out
	}
	return pass(pass(pic, 1, 0), 0, 1)
}

// A step blurred by σ measures 2.43 σ (erf(2.146/√2)·√(2π), by hand), whatever
// its height and place; a step too low to stand out measures nothing.
func TestWidthOfAGaussianEdge(t *testing.T) {
	for _, sigma := range []float64{1, 1.5, 2, 3, 4} {
		for _, rise := range []float64{.2, -.7} {
			for _, at := range []float64{-1.5, 0, .5, 2} {
				line := make([]float64, 2*reach+1)
				for i := range line {
					line[i] = .9 + rise/2*math.Erf((float64(i-reach)-at)/(sigma*math.Sqrt2))
				}
				w, ok := widthOf(line)
				require.True(t, ok)
				// Steps of a whole px see the slope's peak a little lower and stop up to a
				// px early: 12 % and half a px.
				assert.InDelta(t, 2.43*sigma, w, .12*2.43*sigma+.5, "σ %g, rise %g, at %g", sigma, rise, at)
			}
		}
	}
	_, ok := widthOf(make([]float64, 2*reach+1))
	assert.False(t, ok)
}

// The drawing blurred more and more: the measured width grows with σ, about
// 2.43 σ until neighbouring edges melt into each other, and the note comes
// between σ 1, which is a plain photo, and σ 3, which leaves little of a gap of
// 8 px.
func TestBlurIsTold(t *testing.T) {
	sharp, err := Make(t.Context(), drawnPhoto(t), sizedSettings(t))
	require.NoError(t, err)
	last := 0.0
	for _, sigma := range []float64{0, .5, 1, 1.5, 2, 3, 4} {
		pic := blurred(drawnPhoto(t).Linear(), sigma)
		w := edgeWidth(pic, sharp.Map)
		assert.Greater(t, w, last, "σ %g", sigma)
		if sigma >= 1 && sigma <= 2 {
			assert.InDelta(t, 2.43*sigma, w, .6, "σ %g", sigma)
		}
		last = w
		if sigma != .5 && sigma != 1 && sigma < 3 {
			continue
		}
		p, err := Make(t.Context(), pngPhoto(t, pic), sizedSettings(t))
		require.NoError(t, err)
		assert.Equal(t, sigma >= 3, slices.Contains(notesBut(p), "blurred"), "σ %g", sigma)
	}
}

// repainted is the drawing with some pixels changed.
func repainted(t *testing.T, change func(x, y float64, c colormath.LinearRGB) colormath.LinearRGB) *photo.Photo {
	pic := drawnPhoto(t).Linear()
	for y := range pic.H {
		for x := range pic.W {
			pic.Set(x, y, change(float64(x), float64(y), pic.At(x, y)))
		}
	}
	return pngPhoto(t, pic)
}

// glaring burns the middle of every n-th tile out to white: what lies 14 px from
// its edges, 32 × 18 of 60 × 46 px, a fifth of a tile.
func glaring(t *testing.T, n int) *photo.Photo {
	return repainted(t, func(x, y float64, c colormath.LinearRGB) colormath.LinearRGB {
		if inside, _, tile := placeIn(x, y); tile%n == 0 && inside > 6 {
			k := min((inside-6)/8, 1) // a lamp's mirror image has a soft rim
			return colormath.LinearRGB{R: c.R + k, G: c.G + k, B: c.B + k}
		}
		return c
	})
}

// A fifth of every fifth tile is 4 % and told; of every 30th, .7 % and not. A
// tile whose own colour fills one channel is no glare.
func TestGlareIsTold(t *testing.T) {
	for n, told := range map[int]bool{5: true, 30: false} {
		p, err := Make(t.Context(), glaring(t, n), sizedSettings(t))
		require.NoError(t, err)
		assert.Equal(t, told, slices.Contains(notesBut(p), "glare"), "every %d", n)
	}
	v := &view{pic: colormath.NewPicture(10, 1), gain: [3]float64{1, 1, 1}}
	m := &segment.Map{W: 10, H: 1, Label: []uint16{1, 1, 1, 1, 1, 1, 1, 1, 0, 0}, Gap: []uint8{0, 0, 0, 0, 0, 0, 0, 0, 255, 255}}
	for x := range 10 {
		v.pic.Set(x, 0, colormath.LinearRGB{R: 1, G: .5, B: .1}) // a bright orange
	}
	v.pic.Set(2, 0, colormath.LinearRGB{R: 1, G: .99, B: .97})
	assert.Equal(t, 1.0/8, burntTiles(v, m))
	// After a card's balance the same pixel is burnt still.
	v.gain = [3]float64{.5, 1, 2}
	v.pic.Set(2, 0, colormath.LinearRGB{R: .5, G: .99, B: 1.94})
	assert.Equal(t, 1.0/8, burntTiles(v, m))
	// Of the two bed pixels one is burnt in the red, the other black in the green.
	v.gain = [3]float64{1, 1, 1}
	v.pic.Set(9, 0, colormath.LinearRGB{R: .3, G: 0, B: .2})
	burnt, black := lostBed(v, m)
	assert.Equal(t, [2]float64{.5, .5}, [2]float64{burnt, black})
}

// A bed that is burnt out, or black, is told; the picture is still made.
func TestClippedBedIsTold(t *testing.T) {
	for name, paper := range map[string]float64{"burnt": 2, "black": 0} {
		ph := repainted(t, func(x, y float64, c colormath.LinearRGB) colormath.LinearRGB {
			if inside, _, _ := placeIn(x, y); inside < -1 {
				return colormath.LinearRGB{R: paper, G: paper, B: paper}
			}
			return c
		})
		p, err := Make(t.Context(), ph, sizedSettings(t))
		require.NoError(t, err, name)
		assert.Contains(t, notesBut(p), "bed-clipped", name)
	}
}

// Tilt by hand: 100 against 110 px is 1.1, left and right as well as top and
// bottom; the note comes with the photo of the tilted panel (516 against
// 621 px), and names the remedy.
func TestTiltIsTold(t *testing.T) {
	assert.InDelta(t, 1, tilt(&drawnPanel), 1e-12)
	assert.InDelta(t, 1.1, tilt(&segment.Quad{{X: 5, Y: 0}, {X: 105, Y: 0}, {X: 110, Y: 80}, {X: 0, Y: 80}}), 1e-12)
	assert.InDelta(t, 1.25, tilt(&segment.Quad{{X: 0, Y: 0}, {X: 90, Y: 10}, {X: 90, Y: 90}, {X: 0, Y: 100}}), 1e-12)
	s := sizedSettings(t)
	s.Corners = &tiltedPanel
	p, err := Make(t.Context(), tilted(t), s)
	require.NoError(t, err)
	i := slices.IndexFunc(p.Notes, func(n Note) bool { return n.Code == "tilted" })
	require.GreaterOrEqual(t, i, 0)
	assert.Contains(t, p.Notes[i].Text, "--straighten")
}

// The yellow lamp of .9, .765, .54 has its blue at .73 of the mean: strong. The
// drawing's own light is white. Both are known by the bed.
func TestStrongCastIsTold(t *testing.T) {
	p, err := Make(t.Context(), under(t, lamp), sizedSettings(t))
	require.NoError(t, err)
	assert.Contains(t, notesBut(p), "strong-cast")
}

// No false alarm on clean photos of five layouts, corners and bed given. Real:
// the gloss of rows-brights, of which 3 % is burnt out, and its white paper, a
// fifth of it burnt out.
func TestNoFalseNotesOnScenes(t *testing.T) {
	dir := os.Getenv("GAPSHADE_SCENES")
	if dir == "" {
		t.Skip("set GAPSHADE_SCENES to the folder of scenes")
	}
	photos, err := filepath.Glob(filepath.Join(dir, "*", "photo_*.jpg"))
	require.NoError(t, err)
	require.NotEmpty(t, photos)
	for _, path := range photos {
		name := filepath.Base(filepath.Dir(path))
		var facts struct {
			Corners struct{ Panel [4][2]float64 } `json:"corners_px"`
		}
		b, err := os.ReadFile(filepath.Join(filepath.Dir(path), "scene.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(b, &facts))
		s := Default()
		s.Corners = new(segment.Quad)
		for i, c := range facts.Corners.Panel {
			s.Corners[i] = segment.Point{X: c[0], Y: c[1]}
		}
		bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		if s.Bed, err = ParseBed(bed); err != nil {
			s.Bed = Bed{}
		}
		ph, err := photo.OpenFile(t.Context(), path, photo.Limits{})
		require.NoError(t, err)
		p, err := Make(t.Context(), ph, s)
		require.NoError(t, err, path)
		var want []string
		if name == "rows-brights" {
			want = []string{"glare"}
			if bed == "white" {
				want = append(want, "bed-clipped")
			}
		}
		got := slices.DeleteFunc(notesBut(p), func(c string) bool {
			return !slices.Contains([]string{"glare", "bed-clipped", "blurred", "tilted", "strong-cast", "card-uneven"}, c)
		})
		assert.ElementsMatch(t, want, got, "%s on %s", name, bed)
	}
}
