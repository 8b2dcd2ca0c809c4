package segment

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func fill(w, h int, pts ...Point) string { return shown(w, filled(w, h, pts)) }

// By eye: the pixels whose centres lie inside.
func TestFilledSquare(t *testing.T) {
	assert.Equal(t, plain(`
		......
		.####.
		.####.
		.####.
		......`), fill(6, 5, Point{.5, .5}, Point{4.5, .5}, Point{4.5, 3.5}, Point{.5, 3.5}))
}

func TestFilledDiamond(t *testing.T) {
	assert.Equal(t, plain(`
		...#...
		..###..
		.#####.
		#######
		.#####.
		..###..
		...#...`), fill(7, 7, Point{3, -.5}, Point{6.5, 3}, Point{3, 6.5}, Point{-.5, 3}))
}

// An L and a U: between the arms of the U a row has two spans.
func TestFilledConcave(t *testing.T) {
	assert.Equal(t, plain(`
		##....
		##....
		######`), fill(6, 3, Point{-.5, -.5}, Point{1.5, -.5}, Point{1.5, 1.5}, Point{5.5, 1.5},
		Point{5.5, 2.5}, Point{-.5, 2.5}))
	u := []Point{{-.5, -.5}, {1.5, -.5}, {1.5, 1.5}, {3.5, 1.5}, {3.5, -.5}, {5.5, -.5}, {5.5, 2.5}, {-.5, 2.5}}
	assert.Equal(t, []Span{{0, 0, 2}, {0, 4, 6}, {1, 0, 2}, {1, 4, 6}, {2, 0, 6}}, spans(6, 3, u))
}

// The direction in which the outline is walked doesn't matter.
func TestFilledEitherWayRound(t *testing.T) {
	a, b, c := Point{.3, .2}, Point{7.1, 2.9}, Point{2.2, 5.4}
	assert.Equal(t, fill(8, 6, a, b, c), fill(8, 6, c, b, a))
}

func TestSpansOffThePicture(t *testing.T) {
	big := []Point{{-1e6, -1e6}, {1e6, -1e6}, {1e6, 1e6}, {-1e6, 1e6}}
	assert.Equal(t, []Span{{0, 0, 3}, {1, 0, 3}}, spans(3, 2, big))
	half := []Point{{1.5, -9}, {9, -9}, {9, .5}, {1.5, .5}}
	assert.Equal(t, []Span{{0, 2, 3}}, spans(3, 2, half))
	for name, off := range map[string]Point{"left": {-10, 0}, "right": {10, 0}, "above": {0, -10}, "below": {0, 10}} {
		q := Quad{{off.X - 1, off.Y - 1}, {off.X + 4, off.Y - 1}, {off.X + 4, off.Y + 4}, {off.X - 1, off.Y + 4}}
		assert.Empty(t, q.Spans(3, 2), name)
	}
}

// A sliver between two rows of centres holds no pixel.
func TestSpansOfASliver(t *testing.T) {
	assert.Empty(t, spans(9, 9, []Point{{0, 3.2}, {8, 3.2}, {8, 3.8}, {0, 3.8}}))
	assert.Empty(t, spans(9, 9, []Point{{3.2, 0}, {3.8, 0}, {3.8, 8}, {3.2, 8}}))
}

// Panels that lie side by side share no pixel and leave none out.
func TestNeighboursMeetWithoutSeam(t *testing.T) {
	const n = 40
	mid, far := Point{17.3, 20.6}, 60.
	corner := []Point{{-far, -far}, {far, -far}, {far, far}, {-far, far}}
	times := make([]int, n*n)
	for i := range corner {
		for _, s := range spans(n, n, []Point{mid, corner[i], corner[(i+1)%4]}) {
			for x := s.X0; x < s.X1; x++ {
				times[s.Y*n+x]++
			}
		}
	}
	for i, k := range times {
		assert.Equal(t, 1, k, "pixel %d, %d", i%n, i/n)
	}
}

// Oracle: the winding angle of the outline as a pixel centre sees it, ±360°
// inside and 0 outside.
func TestFilledAgreesWithTheWindingAngle(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	const n = 24
	for range 40 {
		pts := make([]Point, 3+rng.IntN(7)) // star-shaped, often concave, partly off the picture
		for i := range pts {
			a := 2 * math.Pi * (float64(i) + .8*rng.Float64()) / float64(len(pts))
			r := 3 + 12*rng.Float64()
			pts[i] = Point{11.37 + r*math.Cos(a), 12.81 + r*math.Sin(a)}
		}
		in := filled(n, n, pts)
		for i := range in {
			assert.Equal(t, math.Abs(winding(pts, float64(i%n), float64(i/n))) > math.Pi, in[i])
		}
	}
}

func winding(pts []Point, x, y float64) float64 {
	sum := 0.0
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		ax, ay, bx, by := p.X-x, p.Y-y, q.X-x, q.Y-y
		sum += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
	}
	return sum
}
