package segment

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
)

// Twelve pixels to a square of the board: ten of tile, two where the network
// saw a line between the squares.
const (
	boardCell = 12
	boardTile = 10
)

// board is an 8 × 6 chequer of two colours as one look holds it. line paints the
// two pixels between squares of colours a and b, share s of the way across.
func board(even, odd [3]float32, grain float64, line func(a, b [3]float32, s float32) [3]float32) *evidence {
	w, h := 8*boardCell, 6*boardCell
	ev := &evidence{
		view: &view{win: window{0, 0, w, h}, scale: 1, w: w, h: h, lin: make([]float32, 3*w*h)},
		tile: newPlane(w, h),
		lay:  &layout{panel: everywhere(w * h)},
	}
	rng := rand.New(rand.NewPCG(4, 2))
	square := func(i, j int) [3]float32 {
		if (i+j)%2 == 0 {
			return even
		}
		return odd
	}
	for y := range h {
		for x := range w {
			i, j, u, v := x/boardCell, y/boardCell, x%boardCell-boardTile, y%boardCell-boardTile
			c := square(i, j)
			switch {
			case u >= 0:
				c = line(c, square(i+1, j), .25+.5*float32(u))
			case v >= 0:
				c = line(c, square(i, j+1), .25+.5*float32(v))
			default:
				ev.tile.v[y*w+x] = 1
			}
			n := float32(1 + grain*rng.NormFloat64())
			copy(ev.lin[3*(y*w+x):], []float32{c[0] * n, c[1] * n, c[2] * n})
		}
	}
	return ev
}

func ownOf(ev *evidence) float64 {
	runs, n := components(ev.w, ev.h, func(i int) bool { return ev.tile.v[i] > .5 })
	label := make([]int32, ev.w*ev.h)
	for i, l := range labelled(ev.w, ev.h, runs) {
		label[i] = int32(l)
	}
	_, nearest := distances(ev.w, ev.h, func(i int) bool { return label[i] > 0 })
	return own(ev, ev.lay.panel, label, nearest, n)
}

// mixed is what a lens makes of a painted edge: light of both sides.
func mixed(a, b [3]float32, s float32) (c [3]float32) {
	for k := range c {
		c[k] = a[k] + s*(b[k]-a[k])
	}
	return c
}

func solid(c [3]float32) func(a, b [3]float32, s float32) [3]float32 {
	return func(_, _ [3]float32, _ float32) [3]float32 { return c }
}

var (
	white = [3]float32{.8, .8, .8}
	dark  = [3]float32{.05, .05, .05}
	kraft = [3]float32{.45, .3, .18}
)

// A painted chequer has no colour between its squares but their mixtures.
func TestOwnOfAPaintedChequer(t *testing.T) {
	assert.Less(t, ownOf(board(white, dark, 0, mixed)), .05)
	assert.Less(t, ownOf(board(white, dark, .1, mixed)), .05, "nor with noise")
}

// A real chequer on kraft paper has: paper is no mixture of white and black.
// Nor is anything darker or lighter than both.
func TestOwnOfAChequerWithJoints(t *testing.T) {
	grey := [3]float32{.4, .4, .4}
	light := [3]float32{.5, .5, .5}
	assert.Greater(t, ownOf(board(white, dark, 0, solid(kraft))), .95)
	assert.Greater(t, ownOf(board(grey, light, 0, solid(dark))), .95)
	assert.Greater(t, ownOf(board(grey, light, 0, solid(white))), .95)
	assert.Greater(t, ownOf(board(grey, grey, 0, solid(dark))), .95, "tiles of one colour")
}

// A line no stronger than the grain of the pieces is grain.
func TestOwnOfALineWithinTheGrain(t *testing.T) {
	grey, line := [3]float32{.4, .4, .4}, [3]float32{.32, .32, .32}
	assert.Greater(t, ownOf(board(grey, grey, .01, solid(line))), .95)
	assert.Less(t, ownOf(board(grey, grey, .4, solid(line))), .5)
}

func TestOwnWithoutNeighbours(t *testing.T) {
	ev := seen(t, `
		......
		.####.
		.####.
		......`)
	assert.Zero(t, ownOf(ev))
}

// By hand.
func TestToSegment(t *testing.T) {
	a, b := [3]float64{0, 0, 0}, [3]float64{10, 0, 0}
	assert.Equal(t, 0., toSegment([3]float64{4, 0, 0}, a, b))
	assert.Equal(t, 5., toSegment([3]float64{4, 3, 4}, a, b))
	assert.Equal(t, 5., toSegment([3]float64{13, 4, 0}, a, b), "past the end")
	assert.Equal(t, 3., toSegment([3]float64{-3, 0, 0}, a, b))
	assert.Equal(t, 13., toSegment([3]float64{3, 4, 12}, a, a), "no way at all")
}

// The mean is that of the sure pixels, the spread that of all three channels.
func TestCoreColours(t *testing.T) {
	ev := seen(t, `
		##.
		##.`)
	codes := []uint8{100, 120, 0, 100, 120, 0}
	for i, c := range codes {
		for k := range 3 {
			ev.lin[3*i+k] = colormath.Decode8(c)
		}
	}
	ev.tile.v[4] = .6 // unsure: left out
	got := coreColours(ev, []int32{1, 1, 0, 1, 1, 0}, 1)[1]
	// codes 100, 120, 100: mean 106.67; squared distances 44.4, 177.8, 44.4 in
	// each of three channels, root of their mean sum √(3·88.9) = 16.33
	assert.Equal(t, 3., got.n)
	assert.InDelta(t, 106.6667/255, got.mean[0], 1e-6)
	assert.InDelta(t, 16.3299/255, got.dev, 1e-6)
}
