package segment

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func walk(t *testing.T, lines string) []Point {
	w, h, on := mask(t, lines)
	return contour(w, h, on)
}

// By eye, clockwise from the first pixel in reading order.
func TestContourOfASquare(t *testing.T) {
	assert.Equal(t, []Point{{1, 1}, {2, 1}, {3, 1}, {3, 2}, {3, 3}, {2, 3}, {1, 3}, {1, 2}}, walk(t, `
		.....
		.###.
		.###.
		.###.
		.....`))
}

// The mask may fill the picture; its own edge is then the way.
func TestContourAtThePicturesEdge(t *testing.T) {
	assert.Equal(t, []Point{{0, 0}, {1, 0}, {2, 0}, {2, 1}, {1, 1}, {0, 1}}, walk(t, `
		###
		###`))
}

// Round an inner corner the way cuts across, and a hole isn't visited.
func TestContourOfAnLWithAHole(t *testing.T) {
	assert.Equal(t, []Point{
		{0, 0}, {1, 0}, {2, 0}, {2, 1}, {3, 2}, {4, 2}, {5, 2}, {5, 3}, {5, 4}, {4, 4}, {3, 4}, {2, 4}, {1, 4}, {0, 4},
		{0, 3}, {0, 2}, {0, 1},
	}, walk(t, `
		###...
		###...
		######
		#.####
		######`))
}

func TestContourOfVeryLittle(t *testing.T) {
	assert.Empty(t, walk(t, `
		...
		...`))
	assert.Equal(t, []Point{{1, 1}}, walk(t, `
		...
		.#.
		...`))
}

// Oracle: the shoelace formula. The way round a w × h block runs through pixel
// centres, so it encloses (w−1)(h−1).
func TestContourEnclosesTheMask(t *testing.T) {
	const w, h = 40, 30
	for _, b := range [][4]int{{3, 2, 20, 11}, {0, 0, 40, 30}, {10, 10, 12, 25}} {
		on := make([]bool, w*h)
		for y := b[1]; y < b[3]; y++ {
			for x := b[0]; x < b[2]; x++ {
				on[y*w+x] = true
			}
		}
		bw, bh := b[2]-b[0], b[3]-b[1]
		pts := contour(w, h, on)
		assert.Equal(t, float64((bw-1)*(bh-1)), polygonArea(pts))
		assert.Len(t, pts, 2*(bw-1)+2*(bh-1))
	}
}

// A square of 40 walked pixel by pixel needs its corners only.
func TestSimplifiedSquare(t *testing.T) {
	const n = 41
	pts := contour(n, n, everywhere(n*n))
	got := simplified(pts, 1)
	assert.LessOrEqual(t, len(got), 6)
	for _, c := range []Point{{0, 0}, {40, 0}, {40, 40}, {0, 40}} {
		assert.Contains(t, got, c)
	}
	assert.InDelta(t, 1600, polygonArea(got), 40, "a side may move by the tolerance of 1 px")
}

func TestSimplifiedDropsWhatLiesOnALine(t *testing.T) {
	line := []Point{{0, 0}, {1, .3}, {2, -.4}, {3, .2}, {4, 0}}
	assert.Equal(t, []Point{{0, 0}, {4, 0}}, simplified(line, .5))
	bent := []Point{{0, 0}, {1, .3}, {2, 3}, {3, 1.4}, {4, 0}}
	assert.Equal(t, []Point{{0, 0}, {2, 3}, {4, 0}}, simplified(bent, 2), "the far point stays")
	assert.Equal(t, bent, simplified(bent, 0), "no tolerance, nothing dropped")
	assert.Equal(t, line[:2], simplified(line[:2], 1))
	assert.Equal(t, []Point{{0, 0}, {1, .3}, {2, -.4}, {3, .2}, {4, 0}}, line, "the argument stays as it was")
}

// What is dropped lies within the tolerance of the line that replaces it.
func TestSimplifiedKeepsTheTolerance(t *testing.T) {
	const n = 60
	disc := make([]bool, n*n)
	for i := range disc {
		x, y := i%n-30, i/n-28
		disc[i] = x*x+2*y*y < 25*25
	}
	pts := contour(n, n, disc)
	for _, tol := range []float64{.5, 1, 3} {
		kept := simplified(pts, tol)
		require.Less(t, len(kept), len(pts))
		k := 0
		for _, p := range pts {
			if k+1 < len(kept) && p == kept[k+1] {
				k++
				continue
			}
			if k+1 == len(kept) {
				break
			}
			a, b := kept[k], kept[k+1]
			assert.LessOrEqual(t, math.Abs(cross(a, b, p))/math.Hypot(b.X-a.X, b.Y-a.Y), tol+1e-9)
		}
	}
}

// By arithmetic: 95 × 70 px of tiles at a mm a px. However far the shoulder is to
// reach, a hair or more than two gaps, it does, whether said in px or in mm.
func TestShoulderOfAFoundPanel(t *testing.T) {
	g := twelve(45.3, 32.7)
	g.w, g.h = 190, 140
	for _, s := range []float64{1, 2, 5, 8, 12} {
		for _, opt := range []Options{{ShoulderPx: s}, {ShoulderMm: s, PanelMm2: (95 + 2*s) * (70 + 2*s)}} {
			m := g.find(t, opt)
			assertQuad(t, g.panel(s), &m.Panel, .4, "%+v", opt)
			assert.Len(t, m.Tiles, 12)
		}
	}
}

// Where nothing is said, the shoulder is half the gap of 5 px; where a px is known to
// be so many mm, it is at least 1 mm and at most 5 mm. (14)
func TestUsualShoulder(t *testing.T) {
	g := twelve(45.3, 32.7)
	g.w, g.h = 190, 140
	for _, c := range []struct{ mmPerPx, want float64 }{
		{0, 2.5}, // not known
		{1, 2.5}, {.5, 2.5}, {1.9, 2.5},
		{.2, 5}, {.1, 10}, // 1 mm
		{4, 1.25}, {5, 1}, // 5 mm
	} {
		size := (95 + 2*c.want) * (70 + 2*c.want) * c.mmPerPx * c.mmPerPx
		m := g.find(t, Options{PanelMm2: size})
		assertQuad(t, g.panel(c.want), &m.Panel, .4, "%g mm a px", c.mmPerPx)
	}
}

func assertQuad(t *testing.T, want, got *Quad, within float64, msg string, args ...any) {
	t.Helper()
	for i := range want {
		assert.InDelta(t, want[i].X, got[i].X, within, append([]any{msg}, args...)...)
		assert.InDelta(t, want[i].Y, got[i].Y, within, append([]any{msg}, args...)...)
	}
}
