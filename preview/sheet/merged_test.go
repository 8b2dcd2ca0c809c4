package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
	"gapshade/preview/contrast"
	"gapshade/segment"
)

// placeAt is the palette place at a point of the canned layout, in its
// characters (column 0 at the left).
func placeAt(p *preview.Proof, img *image.Paletted, col, row float64) uint8 {
	crop := Crop(p)
	scale := float64(img.Rect.Dx()) / float64(crop.Dx())
	x := (col*cannedUnit - float64(crop.Min.X)) * scale
	y := (row*cannedUnit - float64(crop.Min.Y)) * scale
	return img.ColorIndexAt(int(x), int(y))
}

func TestMergedShowsEveryKindOfTile(t *testing.T) {
	p := canned()
	img := Merged(p, 0)
	one, two := placeAt(p, img, 3, 3), placeAt(p, img, 6, 3)
	five, six := placeAt(p, img, 8, 6), placeAt(p, img, 11, 6)
	assert.Equal(t, one, two, "tiles 1 and 2 are one group")
	assert.Equal(t, five, six, "tiles 5 and 6 are one group")
	assert.NotEqual(t, one, five, "the groups face each other across 2|5")
	assert.GreaterOrEqual(t, min(one, five), onGroup)
	assert.Contains(t, []uint8{onAlone, onHatch}, placeAt(p, img, 10, 3), "tile 3 has lost its outline alone")
	assert.Equal(t, onKept, placeAt(p, img, 4, 6), "tile 4")
	assert.Equal(t, onGap, placeAt(p, img, 1.5, 1.5), "rim of the panel")
	assert.Equal(t, onGap, placeAt(p, img, 4.5, 3), "gap 1|2")
	assert.Equal(t, color.Color(srgb(p.Trials[0].Shade.Lab)), img.Palette[onGap], "joints have the shade's colour")
	assert.Equal(t, onGround, img.ColorIndexAt(0, 0), "outside the panel")
}

// A tile that keeps its outline has one; a merged one has none.
func TestMergedOutlines(t *testing.T) {
	p := canned()
	kept, merged := Merged(p, 1), Merged(p, 0)
	at := func(img *image.Paletted) (n int) {
		for y := range img.Rect.Dy() {
			for x := range img.Rect.Dx() {
				if img.ColorIndexAt(x, y) == onOutline {
					n++
				}
			}
		}
		return n
	}
	assert.Greater(t, at(kept), 3*at(merged), "six outlined tiles against one")
	assert.Equal(t, onKept, placeAt(p, kept, 3, 3))
}

func TestMergedIsAPlainPNG(t *testing.T) {
	p := canned()
	var a, b bytes.Buffer
	require.NoError(t, PNGPaletted(&a, Merged(p, 0)))
	require.NoError(t, PNGPaletted(&b, NewMaps(p, 1600).Draw(0)))
	assert.Equal(t, a.Bytes(), b.Bytes(), "equal input, equal bytes")
	img, err := png.Decode(&a)
	require.NoError(t, err)
	assert.LessOrEqual(t, img.Bounds().Dx(), 1600)
}

// A joint of 2 px must not break up where a cell is 2.5 px wide.
func TestReduceKeepsThinGaps(t *testing.T) {
	const w, h = 4000, 40
	m := &segment.Map{W: w, H: h, Gap: make([]uint8, w*h), Label: make([]uint16, w*h)}
	for i := range m.Label {
		switch x := i % w; {
		case x%50 < 2:
			m.Gap[i] = 255
		default:
			m.Label[i] = uint16(1 + x/50)
		}
	}
	c := reduce(m, image.Rect(0, 0, w, h), 1600)
	require.Equal(t, 1600, c.w)
	for x := 1; x < c.w; x++ {
		if a, b := c.at(x-1, 5), c.at(x, 5); a > 0 && b > 0 {
			require.Equal(t, a, b, "tiles %d and %d touch at cell %d", a, b, x)
		}
	}
}

func TestTally(t *testing.T) {
	kept, alone, joined := tally(&canned().Trials[0])
	assert.Equal(t, [3]int{1, 1, 4}, [3]int{kept, alone, joined})
}

// proper fails when two facing groups have one colour.
func proper(t *testing.T, touch [][]int, tr *preview.Trial, around [][]int) []int {
	t.Helper()
	place := groupPlaces(tr, around)
	for g, n := range touch {
		for _, h := range n {
			assert.NotEqual(t, place[g], place[h], "groups %d and %d", g+1, h+1)
		}
	}
	return place
}

// each makes every tile a group of its own: the hardest case for the colours.
func each(n int) *preview.Trial {
	t := &preview.Trial{Stats: contrast.Stats{Merging: contrast.Merging{Groups: n}, Tiles: make([]contrast.TileContrast, n)}}
	for i := range t.Tiles {
		t.Tiles[i] = contrast.TileContrast{Loses: true, Group: i + 1}
	}
	return t
}

// Oracle: the icosahedron is the flat map in which every place has five
// neighbours, the most that smallest-last can be left with.
func TestColoursOfAnIcosahedron(t *testing.T) {
	var around [][]int
	add := func(n ...int) { around = append(around, n) }
	add(1, 2, 3, 4, 5)
	for i := range 5 { // upper ring 1…5
		add(0, 1+(i+1)%5, 1+(i+4)%5, 6+i, 6+(i+4)%5)
	}
	for i := range 5 { // lower ring 6…10
		add(11, 6+(i+1)%5, 6+(i+4)%5, 1+i, 1+(i+1)%5)
	}
	add(6, 7, 8, 9, 10)
	proper(t, around, each(12), around)
}

// Rows of bricks, each its own group: six neighbours each, all colours used.
func TestColoursOfBricks(t *testing.T) {
	const w, h = 9, 7
	around := make([][]int, w*h)
	join := func(a, b int) { around[a], around[b] = append(around[a], b), append(around[b], a) }
	for y := range h {
		for x := range w {
			i := y*w + x
			if x+1 < w {
				join(i, i+1)
			}
			if y+1 < h {
				join(i, i+w)
				if side := x - 1 + 2*(y%2); side >= 0 && side < w {
					join(i, (y+1)*w+side)
				}
			}
		}
	}
	place := proper(t, around, each(w*h), around)
	seen := map[int]bool{}
	for _, c := range place {
		seen[c] = true
	}
	assert.Len(t, seen, 6)
}

// Borders measured in a photo may cross; more neighbours than colours must not
// fail, only repeat one.
func TestColoursOfACrowd(t *testing.T) {
	around := make([][]int, 8)
	for i := range around {
		for j := range around {
			if i != j {
				around[i] = append(around[i], j)
			}
		}
	}
	for _, c := range groupPlaces(each(8), around) {
		assert.Less(t, c, 6)
		assert.GreaterOrEqual(t, c, 0)
	}
}

func BenchmarkReduce12MP(b *testing.B) {
	w, h, label, gap := bricks()
	m := &segment.Map{W: w, H: h, Label: label, Gap: gap}
	for b.Loop() {
		reduce(m, image.Rect(0, 0, w, h), 1600)
	}
}
