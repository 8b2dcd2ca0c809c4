package preview

import (
	"encoding/json"
	"image"
	_ "image/jpeg"
	_ "image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/colormath/imgdiff"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// layout is a path-traced dry layout with its truth: what tiles and grouts were
// made of, and where the tiles are.
type layout struct {
	dir     string
	finish  string
	corners segment.Quad
	size    [2]float64 // mm
	beds    map[string]colormath.Lab
	grouts  map[string]colormath.Lab
	tiles   map[int]colormath.Lab // by number in ids.png
	ids     []uint16
	gap     []uint8 // what grout covers
	w, h    int
}

// readLayout reads a folder. Its Labs are under D65; ours are D50 after Bradford.
func readLayout(t *testing.T, dir string) *layout {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "scene.json"))
	require.NoError(t, err)
	var facts struct {
		Finish  string
		Size    [2]float64 `json:"grout_panel_mm"`
		Beds    map[string][3]float64
		Grouts  map[string][3]float64
		Corners struct{ Panel [4][2]float64 } `json:"corners_px"`
		Facts   []struct {
			ID  int
			Lab [3]float64
		}
	}
	require.NoError(t, json.Unmarshal(b, &facts))
	d50 := func(v [3]float64) colormath.Lab {
		return colormath.Lab{L: v[0], A: v[1], B: v[2]}.XYZ(colormath.D65).LinearRGB().Lab()
	}
	l := &layout{dir: dir, finish: facts.Finish, size: facts.Size,
		beds: map[string]colormath.Lab{}, grouts: map[string]colormath.Lab{}, tiles: map[int]colormath.Lab{}}
	for i, c := range facts.Corners.Panel {
		l.corners[i] = segment.Point{X: c[0], Y: c[1]}
	}
	for k, v := range facts.Beds {
		l.beds[k] = d50(v)
	}
	for k, v := range facts.Grouts {
		l.grouts[k] = d50(v)
	}
	for _, f := range facts.Facts {
		l.tiles[f.ID] = d50(f.Lab)
	}
	ids, ok := decoded(t, filepath.Join(dir, "ids.png")).(*image.Gray16)
	require.True(t, ok)
	l.w, l.h = ids.Rect.Dx(), ids.Rect.Dy()
	for i := 0; i < len(ids.Pix); i += 2 {
		l.ids = append(l.ids, uint16(ids.Pix[i])<<8|uint16(ids.Pix[i+1]))
	}
	cover, ok := decoded(t, filepath.Join(dir, "tiles_grout.png")).(*image.Gray)
	require.True(t, ok)
	for _, v := range cover.Pix {
		l.gap = append(l.gap, 255-v)
	}
	return l
}

func decoded(t *testing.T, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	img, _, err := image.Decode(f)
	require.NoError(t, err, path)
	return img
}

// photos lists the beds that the layout was photographed on.
func (l *layout) photos(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(l.dir, "photo_*.jpg"))
	require.NoError(t, err)
	var beds []string
	for _, f := range files {
		beds = append(beds, strings.TrimSuffix(strings.TrimPrefix(filepath.Base(f), "photo_"), ".jpg"))
	}
	return beds
}

// proof runs the job on one of its photos, with corners, bed and size given, and
// the scene's own grouts, and adds the field that the light was read as.
func (l *layout) proof(t *testing.T, bed string) (*Proof, *light.Field) {
	t.Helper()
	ph, err := photo.OpenFile(t.Context(), filepath.Join(l.dir, "photo_"+bed+".jpg"), photo.Limits{})
	require.NoError(t, err)
	s := Default()
	s.Corners, s.Bed = &l.corners, Bed{Known: true, Lab: l.beds[bed]}
	s.WidthMm, s.HeightMm = l.size[0], l.size[1]
	s.Shades = nil
	for _, k := range []string{"light", "mid", "dark"} {
		sh, err := grout.New(k, l.grouts[k])
		require.NoError(t, err)
		s.Shades = append(s.Shades, sh)
	}
	p, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	return p, light.Measure(ph.Picture, p.Map, s.Bed.reflectance(), 0).Field
}

// trueTile gives the tile of the truth at the middle of each tile found, 0 where
// there is none.
func (l *layout) trueTile(m *segment.Map) []int {
	out := make([]int, len(m.Tiles))
	for i, t := range m.Tiles {
		out[i] = int(l.ids[int(math.Round(t.Centre.Y))*l.w+int(math.Round(t.Centre.X))])
	}
	return out
}

// trueMap is the map that a perfect finder would give: tiles and coverage of the
// truth, with the gap's width of the map found.
func (l *layout) trueMap(found *segment.Map) *segment.Map {
	m := &segment.Map{W: l.w, H: l.h, Gap: slices.Clone(l.gap), Label: slices.Clone(l.ids), Panel: l.corners,
		Inside: l.corners.Spans(l.w, l.h), GapWidthPx: found.GapWidthPx}
	m.Tiles = make([]segment.Tile, slices.Max(l.ids))
	for i := range m.Tiles {
		m.Tiles[i] = segment.Tile{X0: l.w, Y0: l.h}
	}
	for i, id := range m.Label {
		if id == 0 || m.Gap[i] >= 128 {
			m.Label[i] = 0
			continue
		}
		t, x, y := &m.Tiles[id-1], i%l.w, i/l.w
		t.AreaPx++
		t.Centre.X, t.Centre.Y = t.Centre.X+float64(x), t.Centre.Y+float64(y)
		t.X0, t.Y0, t.X1, t.Y1 = min(t.X0, x), min(t.Y0, y), max(t.X1, x+1), max(t.Y1, y+1)
	}
	for i := range m.Tiles {
		t := &m.Tiles[i]
		t.Centre.X, t.Centre.Y = t.Centre.X/max(t.AreaPx, 1), t.Centre.Y/max(t.AreaPx, 1)
	}
	return m
}

// losing counts tiles without outline.
func losing(tiles []contrast.TileContrast) int {
	n := 0
	for _, c := range tiles {
		if c.Loses {
			n++
		}
	}
	return n
}

func (p *Proof) trial(id string) *Trial {
	return &p.Trials[slices.IndexFunc(p.Trials, func(t Trial) bool { return t.Shade.ID == id })]
}

// The colour of the tiles' cores against what they were made of: CIEDE2000 on the
// mean. Where glare has burnt tiles out they say so and are left out.
func (l *layout) coreError(t *testing.T, p *Proof) (mean, lightness float64) {
	n := 0.0
	for i, id := range l.trueTile(p.Map) {
		if id == 0 || p.Panel.Burnt[i] {
			continue
		}
		n++
		mean += colormath.DeltaE2000(l.tiles[id], p.TileLab[i])
		lightness += p.TileLab[i].L - l.tiles[id].L
	}
	require.Greater(t, n, .9*float64(len(l.tiles)))
	return mean / n, lightness / n
}

// One layout is always there: 120 white tiles. Under the light grout most of them
// go under, under the others none.
func TestWhiteTilesUnderLightGrout(t *testing.T) {
	l := readLayout(t, filepath.Join("..", "testdata", "scenes", "grid-whites"))
	p, _ := l.proof(t, "white")
	mean, _ := l.coreError(t, p)
	assert.LessOrEqual(t, mean, 4.0)
	assert.Greater(t, losing(p.trial("light").Tiles), 90)
	assert.Greater(t, p.trial("light").LargestShare, .5, "one field")
	assert.Zero(t, losing(p.trial("mid").Tiles))
	assert.Zero(t, losing(p.trial("dark").Tiles))
	assert.Equal(t, "dark", rankedFor(p, Outline)[0].Shade.ID)
	assert.Equal(t, "light", rankedFor(p, Blend)[0].Shade.ID)
	assert.Greater(t, p.Panel.Channels, .9, "a grid of 10 by 12")
}

func rankedFor(p *Proof, aim Aim) []Trial {
	s := p.Settings
	s.Aim = aim
	return try(p, s)
}

// A folder of such layouts.
func TestNumbersOnScenes(t *testing.T) {
	folder := os.Getenv("GAPSHADE_SCENES")
	if folder == "" {
		t.Skip("GAPSHADE_SCENES names no folder of layouts")
	}
	dirs, err := filepath.Glob(filepath.Join(folder, "*", "scene.json"))
	require.NoError(t, err)
	require.NotEmpty(t, dirs)
	for _, d := range dirs {
		l := readLayout(t, filepath.Dir(d))
		for _, bed := range l.photos(t) {
			p, field := l.proof(t, bed)
			mean, lightness := l.coreError(t, p)
			t.Logf("%-12s %-7s %-8s tile cores ΔE00 %.2f, ΔL* %+.1f, %d burnt out; %d clusters; channels %.2f", filepath.Base(l.dir), bed, l.finish, mean, lightness, p.Panel.BurntTiles(), len(p.Panel.Clusters), p.Panel.Channels)
			if l.finish == "ceramic" || l.finish == "stone" {
				assert.LessOrEqual(t, mean, 4.0, "%s on %s", l.dir, bed)
			}
			for _, c := range p.Panel.Clusters {
				t.Logf("    %s, L* %.0f %.0f %.0f", c.Phrase(), c.Lab.L, c.Lab.A, c.Lab.B)
			}
			l.holdAgainstTruth(t, p, field)
			if filepath.Base(l.dir) == "rows-lemons" {
				lemonsStayApart(t, p)
			}
		}
	}
}

// lemonsStayApart: under the dark grout most of the dark teal ground goes under and
// reads as large pieces; no lemon does.
func lemonsStayApart(t *testing.T, p *Proof) {
	t.Helper()
	dark := p.trial("dark")
	for k, c := range p.Panel.Clusters {
		got := p.Panel.Against(k, &dark.Stats).Loses
		switch c.Name {
		case "dark teal":
			assert.Greater(t, got, c.Tiles/2)
		case "yellow":
			assert.Zero(t, got)
		}
		t.Logf("    dark: %d of %s lose their outline", got, c.Phrase())
	}
	assert.Equal(t, "dark teal", p.Panel.Clusters[0].Name)
	assert.Greater(t, dark.LargestShare, .3)
}

// holdAgainstTruth counts tiles without outline under each grout, and again in the
// path-traced picture of the grouted panel with the true mask: once under the
// light read from the dry photo (same camera, same lamp), and once with no light
// read at all, core against the joint's own pixels on the tile's outline.
func (l *layout) holdAgainstTruth(t *testing.T, p *Proof, field *light.Field) {
	t.Helper()
	m := l.trueMap(p.Map)
	for _, k := range []string{"light", "mid", "dark"} {
		path := filepath.Join(l.dir, "truth_"+k+".jpg")
		if _, err := os.Stat(path); err != nil {
			continue
		}
		pic := imgdiff.FromImage(decoded(t, path))
		labs, burnt := contrast.TileColours(pic, m, field, 0)
		truth := contrast.NewPanel(m, labs, burnt, 0).Measure(l.grouts[k])
		got, want := losing(p.trial(k).Tiles), losing(truth.Tiles)
		t.Logf("    %-5s %3d of %d without outline; true mask %d; by the joint's own pixels %d; %s", k, got, len(p.Map.Tiles), want, l.byOwnPixels(pic, m), p.trial(k).Reason)
		assert.LessOrEqual(t, math.Abs(float64(got-want)), .1*float64(max(want, 10)), "%s %s", l.dir, k)
	}
}

// byOwnPixels counts tiles whose core is near the median of the joint round them,
// both as the picture shows them.
func (l *layout) byOwnPixels(pic *colormath.Picture, m *segment.Map) int {
	cores, burnt := contrast.TileColours(pic, m, light.Even(colormath.LinearRGB{R: 1, G: 1, B: 1}), 0)
	const reach = 8
	n := 0
	for i, tile := range m.Tiles {
		if tile.AreaPx == 0 || burnt[i] {
			continue
		}
		var px [3][]float64
		for y := max(tile.Y0-reach, 0); y < min(tile.Y1+reach, m.H); y++ {
			for x := max(tile.X0-reach, 0); x < min(tile.X1+reach, m.W); x++ {
				if m.Gap[y*m.W+x] < 250 || !touches(m, x, y, reach, uint16(i+1)) {
					continue
				}
				c := pic.At(x, y)
				px[0], px[1], px[2] = append(px[0], c.R), append(px[1], c.G), append(px[2], c.B)
			}
		}
		joint := colormath.LinearRGB{R: colormath.Median(px[0]), G: colormath.Median(px[1]), B: colormath.Median(px[2])}.Lab()
		if math.Abs(joint.L-cores[i].L) < contrast.MergeDeltaL && math.Hypot(joint.A-cores[i].A, joint.B-cores[i].B) < contrast.MergeChroma {
			n++
		}
	}
	return n
}

func touches(m *segment.Map, x, y, reach int, id uint16) bool {
	for _, d := range [][2]int{{-reach, 0}, {reach, 0}, {0, -reach}, {0, reach}} {
		if i, j := x+d[0], y+d[1]; i >= 0 && j >= 0 && i < m.W && j < m.H && m.Label[j*m.W+i] == id {
			return true
		}
	}
	return false
}
