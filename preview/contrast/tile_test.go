package contrast

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/segment"
)

// letters is a map readable by eye, four pixels to a letter each way: a to f are
// tiles, a dot is gap.
func letters(rows ...string) (*segment.Map, *colormath.Picture) {
	const unit = 4
	m := &segment.Map{W: unit * len(rows[0]), H: unit * len(rows)}
	m.Gap, m.Label = make([]uint8, m.W*m.H), make([]uint16, m.W*m.H)
	for y := range m.H {
		for x := range m.W {
			c := rows[y/unit][x/unit]
			if c == '.' {
				m.Gap[y*m.W+x] = 255
				continue
			}
			id := int(c-'a') + 1
			m.Label[y*m.W+x] = uint16(id)
			for len(m.Tiles) < id {
				m.Tiles = append(m.Tiles, segment.Tile{X0: m.W, Y0: m.H})
			}
			t := &m.Tiles[id-1]
			t.X0, t.Y0, t.X1, t.Y1 = min(t.X0, x), min(t.Y0, y), max(t.X1, x+1), max(t.Y1, y+1)
			t.AreaPx++
			t.Centre.X, t.Centre.Y = t.Centre.X+float64(x), t.Centre.Y+float64(y)
		}
	}
	for i := range m.Tiles {
		t := &m.Tiles[i]
		t.Centre.X, t.Centre.Y = t.Centre.X/t.AreaPx, t.Centre.Y/t.AreaPx
	}
	return m, colormath.NewPicture(m.W, m.H)
}

func paint(pic *colormath.Picture, m *segment.Map, id uint16, c colormath.LinearRGB) {
	for i, l := range m.Label {
		if l == id {
			pic.Set(i%m.W, i/m.W, c)
		}
	}
}

func coloursOf(pic *colormath.Picture, m *segment.Map, field *light.Field) []colormath.Lab {
	c, _ := TileColours(pic, m, field, 2)
	return c
}

var (
	teal  = colormath.Lab{L: 40, A: -18, B: -10}
	ochre = colormath.Lab{L: 65, A: 12, B: 45}
	white = light.Even(colormath.LinearRGB{R: 1, G: 1, B: 1})
)

func near3(t *testing.T, want, got colormath.Lab, de float64, msg string) {
	t.Helper()
	assert.LessOrEqual(t, colormath.DeltaE2000(want, got), de, "%s: %v is not %v", msg, got, want)
}

// Flat tiles give their colour; dark pixels of the gap and of the soft edge do
// not come in.
func TestTileColours(t *testing.T) {
	m, pic := letters(
		".........",
		".aaa.bbb.",
		".aaa.bbb.",
		".aaa.bbb.",
		".........")
	paint(pic, m, 1, teal.LinearRGB())
	paint(pic, m, 2, ochre.LinearRGB())
	for y := range m.H { // a rim of one pixel in shadow
		for x := range m.W {
			if i := y*m.W + x; m.Label[i] > 0 && (m.Label[i-1] == 0 || m.Label[i+1] == 0 || m.Label[i-m.W] == 0 || m.Label[i+m.W] == 0) {
				pic.Set(x, y, colormath.LinearRGB{})
			}
		}
	}
	got, burnt := TileColours(pic, m, white, 1)
	assert.Equal(t, []bool{false, false}, burnt)
	require.Len(t, got, 2)
	near3(t, teal, got[0], .01, "a")
	near3(t, ochre, got[1], .01, "b")
	again, _ := TileColours(pic, m, white, 8)
	assert.Equal(t, got, again, "threads do not matter")
}

// Glare on 30 % of a tile and dark grains on another 10 %: the tile's own colour
// all the same. Burnt-out glare goes first; the middle of the rest is then a little
// below the tile's own, by 0.14 σ: with grain of 5 % that is 0.7 % of light. Glare
// that is not burnt out draws the middle up by 0.43 σ, 2 % of light, ΔE00 0.5, and
// some more by chance.
func TestGlareDoesNotCount(t *testing.T) {
	for name, c := range map[string]struct {
		glare colormath.LinearRGB
		de    float64
	}{"burnt out": {colormath.LinearRGB{R: 1, G: 1, B: .98}, .4}, "soft": {colormath.LinearRGB{R: .7, G: .7, B: .7}, 1}} {
		m, pic := letters(
			".......",
			".aaaaa.",
			".aaaaa.",
			".aaaaa.",
			".aaaaa.",
			".......")
		glared(pic, m, .3, c.glare)
		got, burnt := TileColours(pic, m, white, 1)
		near3(t, teal, got[0], c.de, name)
		assert.False(t, burnt[0], name)
	}
}

// From half of the tile on, glare has taken the colour, and that is said.
func TestBurntTile(t *testing.T) {
	m, pic := letters(
		".......",
		".aaaaa.",
		".aaaaa.",
		".aaaaa.",
		".aaaaa.",
		".......")
	glared(pic, m, .8, colormath.LinearRGB{R: 1, G: 1, B: .98})
	_, burnt := TileColours(pic, m, white, 1)
	assert.True(t, burnt[0])
	paint(pic, m, 1, colormath.LinearRGB{R: 1, G: 1, B: 1})
	got, burnt := TileColours(pic, m, white, 1)
	assert.True(t, burnt[0])
	near3(t, colormath.Lab{L: 100}, got[0], .01, "what there is")
	paint(pic, m, 1, colormath.LinearRGB{R: 1, G: .9, B: .1})
	_, burnt = TileColours(pic, m, white, 1)
	assert.False(t, burnt[0], "a bright yellow stands at the end in one channel only")
}

// glared paints tile 1 teal with grain, dark grains on a tenth, and glare on a
// share of its width from the left.
func glared(pic *colormath.Picture, m *segment.Map, share float64, glare colormath.LinearRGB) {
	rng := rand.New(rand.NewPCG(1, 9))
	own := teal.LinearRGB()
	tile := m.Tiles[0]
	for y := tile.Y0; y < tile.Y1; y++ {
		for x := tile.X0; x < tile.X1; x++ {
			k := 1 + .05*rng.NormFloat64()
			c := colormath.LinearRGB{R: k * own.R, G: k * own.G, B: k * own.B}
			switch v := rng.Float64(); {
			case float64(x-tile.X0)+.5 < share*float64(tile.X1-tile.X0):
				c = glare
			case v < .14:
				c = colormath.LinearRGB{R: .01, G: .01, B: .01}
			}
			pic.Set(x, y, c)
		}
	}
}

// The photo's light is taken out, place by place: by hand, a tile of 0.2 under
// light of 0.5, 0.4, 0.3 shows 0.1, 0.08, 0.06.
func TestLightIsTakenOut(t *testing.T) {
	m, pic := letters(
		".....",
		".aaa.",
		".aaa.",
		".....")
	paint(pic, m, 1, colormath.LinearRGB{R: .1, G: .08, B: .06})
	got := coloursOf(pic, m, light.Even(colormath.LinearRGB{R: .5, G: .4, B: .3}))[0]
	near3(t, colormath.LinearRGB{R: .2, G: .2, B: .2}.Lab(), got, .01, "")
}

// A sliver has no core two pixels from its edge; its own pixels serve.
func TestSliverHasAColour(t *testing.T) {
	m, pic := letters("..a..", "..a..", "..a..")
	paint(pic, m, 1, ochre.LinearRGB())
	near3(t, ochre, coloursOf(pic, m, white)[0], .01, "sliver")
}

// A large tile is read from a part of its pixels, spread over all of it: of two
// colours on 60 and 40 % the larger wins.
func TestLargeTileIsThinnedEvenly(t *testing.T) {
	const side = 300
	m := &segment.Map{W: side, H: side, Gap: make([]uint8, side*side), Label: make([]uint16, side*side),
		Tiles: []segment.Tile{{AreaPx: side * side, Centre: segment.Point{X: side / 2, Y: side / 2}, X1: side, Y1: side}}}
	pic := colormath.NewPicture(side, side)
	for i := range m.Label {
		m.Label[i] = 1
		c := teal
		if (i/side)%10 >= 6 { // stripes
			c = ochre
		}
		pic.Set(i%side, i/side, c.LinearRGB())
	}
	near3(t, teal, coloursOf(pic, m, white)[0], .01, "the larger colour")
}
