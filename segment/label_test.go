package segment

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/segment/score"
)

// labelled paints the runs back into a map.
func labelled(w, h int, runs []run) []uint16 {
	out := make([]uint16, w*h)
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			out[r.y*w+x] = uint16(r.id)
		}
	}
	return out
}

func parts(w, h int, on []bool) ([]run, int) {
	return components(w, h, func(i int) bool { return on[i] })
}

// By eye: a touch at a corner is no connection, and a run that ends its row
// doesn't go on in the next.
func TestComponentsTouchAlongSidesOnly(t *testing.T) {
	w, h, on := mask(t, `
		##..
		..##
		##..`)
	runs, n := parts(w, h, on)
	assert.Equal(t, 3, n)
	assert.Equal(t, []run{{0, 0, 2, 1}, {1, 2, 4, 2}, {2, 0, 2, 3}}, runs)
}

// By eye: parts that meet further down are one, and numbers follow the first
// pixel in reading order, not the order in which parts are joined.
func TestComponentsNumbersInReadingOrder(t *testing.T) {
	w, h, on := mask(t, `
		.#..#.#..
		.#..#.#.#
		.####.#.#
		......###
		###......
		#.#.#.###
		###...#.#`)
	runs, n := parts(w, h, on)
	assert.Equal(t, 5, n)
	assert.Equal(t, []uint16{
		0, 1, 0, 0, 1, 0, 2, 0, 0,
		0, 1, 0, 0, 1, 0, 2, 0, 2,
		0, 1, 1, 1, 1, 0, 2, 0, 2,
		0, 0, 0, 0, 0, 0, 2, 2, 2,
		3, 3, 3, 0, 0, 0, 0, 0, 0,
		3, 0, 3, 0, 4, 0, 5, 5, 5,
		3, 3, 3, 0, 0, 0, 5, 0, 5,
	}, labelled(w, h, runs))
	assert.Equal(t, []int{0, 8, 8, 8, 1, 5}, areas(runs, n))
}

// A spiral is one part however late its arms meet.
func TestComponentsFollowASpiral(t *testing.T) {
	w, h, on := mask(t, `
		#########
		#.......#
		#.#####.#
		#.#...#.#
		#.#.#.#.#
		#.#.###.#
		#.#.....#
		#.#######`)
	_, n := parts(w, h, on)
	assert.Equal(t, 1, n)
	_, n = components(w, h, func(i int) bool { return !on[i] })
	assert.Equal(t, 1, n)
}

func TestComponentsOfNothingAndEverything(t *testing.T) {
	runs, n := components(5, 3, func(int) bool { return false })
	assert.Empty(t, runs)
	assert.Zero(t, n)
	assert.Equal(t, []int{0}, areas(runs, n))
	runs, n = components(5, 3, func(int) bool { return true })
	assert.Equal(t, 1, n)
	assert.Equal(t, []int{0, 15}, areas(runs, n))
}

// Oracle: the flood fill of package score, which shares no line with this one.
func TestComponentsAgreeWithAFloodFill(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for range 60 {
		w, h := 1+rng.IntN(24), 1+rng.IntN(24)
		on, off := make([]bool, w*h), make([]bool, w*h)
		full := .3 + .5*rng.Float64()
		for i := range on {
			on[i] = rng.Float64() < full
			off[i] = !on[i]
		}
		runs, n := parts(w, h, on)
		want, k := score.Tiles(w, h, nil, off, 1)
		assert.Equal(t, k, n)
		assert.Equal(t, want, labelled(w, h, runs))
	}
}

func TestSpeckLimitIsASmallShareOfTheMiddleTile(t *testing.T) {
	tiles := []int{900, 1000, 1100, 1000, 1000}
	limit := speckLimit(tiles)
	// real tesserae go down to a twentieth of their neighbours, glare and
	// grain stay below a hundredth
	assert.Greater(t, limit, 10)
	assert.LessOrEqual(t, limit, 50)
	assert.Equal(t, limit, speckLimit([]int{1100, 1000, 900, 1000, 1000}), "order doesn't matter")
	assert.Equal(t, []int{900, 1000, 1100, 1000, 1000}, tiles, "the argument stays as it was")
}

// Specks by the thousand don't become the middle tile.
func TestSpecksDoNotVote(t *testing.T) {
	tiles := []int{1000, 1000, 1000, 1000, 1000}
	dirty := append([]int(nil), tiles...)
	for range 2000 {
		dirty = append(dirty, 1)
	}
	assert.Equal(t, speckLimit(tiles), speckLimit(dirty))
}

func TestSpeckLimitOfVerySmallPieces(t *testing.T) {
	assert.Greater(t, speckLimit(nil), 1, "a single pixel is never a tile")
	assert.Greater(t, speckLimit([]int{10, 10, 10}), 1)
	assert.LessOrEqual(t, speckLimit([]int{10, 10, 10}), 10, "a picture of small tiles keeps them")
}

func TestSpecksAreLeftOut(t *testing.T) {
	// areas[0] is unused
	assert.Equal(t, []bool{false, true, false, true, true, false}, new(Analysis).kept(nil, []int{0, 1000, 2, 900, 1000, 1}))
	assert.Equal(t, []bool{false}, new(Analysis).kept(nil, []int{0}))
}

// The limit is the photo's: what comes later doesn't move it.
func TestSpeckLimitIsReadOnce(t *testing.T) {
	a := new(Analysis)
	a.kept(nil, []int{0, 1000, 1000})
	assert.Equal(t, []bool{false, false, true}, a.kept(nil, []int{0, 29, 30}), "three hundredths of 1000")
}

// 65,535 is the last number of a 16-bit picture.
func TestSmallestAreDroppedFirst(t *testing.T) {
	size, keep := make([]int, 1, 70001), make([]bool, 1, 70001)
	for i := range 70000 {
		size, keep = append(size, 100+i%2*(1+i%7)), append(keep, true) // half of them are of the least size
	}
	dropSmallest(keep, size, 70000-maxTiles)
	assert.Equal(t, maxTiles, count(keep), "no more than needed")
	leastKept, mostDropped := 1<<30, 0
	for id := 1; id < len(size); id++ {
		if keep[id] {
			leastKept = min(leastKept, size[id])
		} else {
			mostDropped = max(mostDropped, size[id])
		}
	}
	assert.LessOrEqual(t, mostDropped, leastKept)
}
