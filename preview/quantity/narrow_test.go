package quantity

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// layout draws square tiles of 10 mm with joints of jx and jy mm between the
// columns and the rows, ten pixels per mm; the panel ends with the last tiles.
func layout(jx, jy int) (gap []uint8, w, h int) {
	const tile, n = 100, 5
	w, h = n*tile+(n-1)*jx, n*tile+(n-1)*jy
	gap = make([]uint8, w*h)
	for y := range h {
		for x := range w {
			if x%(tile+jx) >= tile || y%(tile+jy) >= tile {
				gap[y*w+x] = 255
			}
		}
	}
	return gap, w, h
}

func everywhere(gap []uint8) []bool { return slices.Repeat([]bool{true}, len(gap)) }

func TestNarrowGapsOfAGrid(t *testing.T) {
	gap, w, h := layout(20, 20)
	n, ok := FindNarrow(gap, everywhere(gap), w, h, 0.1, 0)
	require.True(t, ok)
	assert.Zero(t, n.Share, "2 mm is wide enough")

	// A crossing of two 1 mm joints is 1.4 mm across its corners: still narrow.
	// At the panel's edge a disc of 0.8 mm standing outside reaches 0.2 mm into
	// each of the 16 mouths, that is 3 of 416 mm².
	gap, w, h = layout(10, 10)
	n, ok = FindNarrow(gap, everywhere(gap), w, h, 0.1, 0)
	require.True(t, ok)
	assert.InDelta(t, 1, n.Share, 0.01)

	// 1 mm between columns, 3 mm between rows. Of the gap, the 4 × 5 pieces of
	// 1 × 10 mm are narrow, less what the disc reaches into them from a crossing
	// (up to a quarter millimetre at either end), and the two ends at the panel's
	// edge, where the disc stands outside.
	gap, w, h = layout(10, 30)
	n, ok = FindNarrow(gap, everywhere(gap), w, h, 0.1, 0)
	require.True(t, ok)
	all := float64(4*10*h+4*30*w-16*300) / 100
	assert.InEpsilon(t, 4*5*10/all, n.Share, 0.06)
}

// One tile of 10 mm with a rim of 1 mm is nowhere hard to fill: beyond the rim
// there is room, also where the panel ends with the picture.
func TestThinRimIsNotNarrow(t *testing.T) {
	const side = 140
	gap := make([]uint8, side*side)
	for i := range gap {
		if x, y := i%side, i/side; x < 20 || y < 20 || x >= 120 || y >= 120 {
			gap[i] = 255
		}
	}
	panel := make([]bool, side*side)
	for i := range panel {
		x, y := i%side, i/side
		panel[i] = x >= 10 && y >= 10 && x < 130 && y < 130
	}
	n, ok := FindNarrow(gap, panel, side, side, 0.1, 0)
	require.True(t, ok)
	assert.Zero(t, n.Share)
	assert.Equal(t, Outside, n.Cell[0])
	assert.Equal(t, Gap, n.Cell[15*n.W+15])

	var cut []uint8 // the same panel, cut out of its picture
	for y := 10; y < 130; y++ {
		cut = append(cut, gap[y*side+10:y*side+130]...)
	}
	n, ok = FindNarrow(cut, everywhere(cut), 120, 120, 0.1, 0)
	require.True(t, ok)
	assert.Zero(t, n.Share)
}

func TestNarrowNeedsAFinePhoto(t *testing.T) {
	gap, w, h := layout(10, 10)
	_, ok := FindNarrow(gap, everywhere(gap), w, h, 0.6, 0)
	assert.False(t, ok, "1.6 mm is under three pixels")
	_, ok = FindNarrow(gap, everywhere(gap), w, h, math.NaN(), 0)
	assert.False(t, ok)
}

// The oracle is the definition: a gap cell is narrow when no disc that keeps its
// radius from every tile comes within its reach, half a cell more. The map is
// taller than a band, and random tiles stand across the seam.
func TestNarrowIsTheDefinition(t *testing.T) {
	const w, h, cells = 40, bandRows + 60, 5.3
	r := rand.New(rand.NewPCG(6, 6))
	n := Narrows{W: w, H: h, Cell: slices.Repeat([]Cell{Gap}, w*h)}
	for range 70 {
		x0, y0 := r.IntN(w-6), bandRows-70+r.IntN(110)
		for i := range 6 * (3 + r.IntN(8)) {
			n.Cell[min(y0+i/6, h-1)*w+x0+i%6] = Tile
		}
	}
	before := slices.Clone(n.Cell)
	n.mark(cells, 0)
	radius, tight, wide := (cells+.5)/2, 0, 0
	near := func(x, y int, d float64, found func(x, y int) bool) bool {
		for dy := -8; dy <= 8; dy++ {
			for dx := -8; dx <= 8; dx++ {
				if float64(dx*dx+dy*dy) <= d*d && found(x+dx, y+dy) {
					return true
				}
			}
		}
		return false
	}
	tile := func(x, y int) bool { return x >= 0 && y >= 0 && x < w && y < h && before[y*w+x] == Tile }
	for y := bandRows - 20; y < bandRows+20; y++ {
		for x := range w {
			if tile(x, y) {
				continue
			}
			fits := near(x, y, radius+.5, func(x, y int) bool { return !near(x, y, math.Nextafter(radius, 0), tile) })
			if fits {
				wide++
			} else {
				tight++
			}
			require.Equal(t, fits, n.Cell[y*w+x] == Gap, "%d, %d", x, y)
		}
	}
	require.Greater(t, tight, 100)
	require.Greater(t, wide, 100)
	again := Narrows{W: w, H: h, Cell: before}
	again.mark(cells, 1)
	assert.Equal(t, n, again, "for any thread count")
}

// A picture keeps the narrow gaps when it is reduced.
func TestNarrowsReduced(t *testing.T) {
	n := Narrows{W: 4, H: 2, Share: .1, Cell: []Cell{Tile, NarrowGap, Gap, Gap, Tile, Tile, Tile, Gap}}
	assert.Equal(t, Narrows{W: 2, H: 1, Share: .1, Cell: []Cell{NarrowGap, Gap}}, n.Reduced(2))
	assert.Equal(t, n, n.Reduced(4))
}

// The oracle is the definition: the least of all squared distances.
func TestSquaredDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 20 {
		w, h := 1+r.IntN(24), 1+r.IntN(24)
		seeds := make([]bool, w*h)
		for i := range seeds {
			seeds[i] = r.IntN(30) == 0
		}
		got := squaredDistance(w, h, seeds)
		for i := range got {
			want := math.Inf(1)
			for j, s := range seeds {
				if dx, dy := i%w-j%w, i/w-j/w; s {
					want = min(want, float64(dx*dx+dy*dy))
				}
			}
			require.Equal(t, want, got[i])
		}
	}
}
