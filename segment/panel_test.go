package segment

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// turned rotates points round (50, 40) by degrees, clockwise on screen.
func turned(deg float64, pts ...Point) []Point {
	s, c := math.Sincos(deg * math.Pi / 180)
	out := make([]Point, len(pts))
	for i, p := range pts {
		x, y := p.X-50, p.Y-40
		out[i] = Point{50 + c*x - s*y, 40 + s*x + c*y}
	}
	return out
}

func assertPoints(t *testing.T, want, got []Point, tol float64) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i].X, got[i].X, tol, "x of point %d", i)
		assert.InDelta(t, want[i].Y, got[i].Y, tol, "y of point %d", i)
	}
}

func TestAreaIsPositiveClockwise(t *testing.T) {
	q := Quad{{1, 1}, {5, 1}, {5, 4}, {1, 4}}
	assert.Equal(t, 12., q.Area())
	back := Quad{q[3], q[2], q[1], q[0]}
	assert.Equal(t, -12., back.Area())
	assert.Equal(t, 6., polygonArea([]Point{{0, 0}, {4, 0}, {0, 3}}))
	assert.Greater(t, cross(Point{0, 0}, Point{1, 0}, Point{1, 1}), 0., "right, then down: clockwise on screen")
}

// By hand: inner points, points on a side and repeated ones are no corners.
func TestHullKeepsCornersOnly(t *testing.T) {
	got := hull([]Point{{2, 2}, {0, 0}, {4, 0}, {2, 0}, {4, 4}, {0, 4}, {0, 2}, {1, 3}, {4, 0}, {4, 4}})
	assert.Equal(t, []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, got)
	assert.Greater(t, polygonArea(got), 0.)
}

func TestHullOfFewPoints(t *testing.T) {
	assert.Empty(t, hull(nil))
	assert.Equal(t, []Point{{3, 1}}, hull([]Point{{3, 1}, {3, 1}}))
	assert.Equal(t, []Point{{0, 0}, {3, 3}}, hull([]Point{{0, 0}, {2, 2}, {1, 1}, {3, 3}}), "all on a line")
}

func TestHullLeavesItsArgumentAlone(t *testing.T) {
	in := []Point{{4, 4}, {0, 0}, {4, 0}}
	hull(in)
	assert.Equal(t, []Point{{4, 4}, {0, 0}, {4, 0}}, in)
}

// nicked cuts a corner off a quad: two points, each some way along a side.
func nicked(q Quad, corner int, along float64) []Point {
	var out []Point
	for i, p := range q {
		if i != corner {
			out = append(out, p)
			continue
		}
		for _, n := range []Point{q[(i+3)%4], q[(i+1)%4]} {
			out = append(out, Point{p.X + along*(n.X-p.X), p.Y + along*(n.Y-p.Y)})
		}
	}
	return out
}

// A panel seen askew whose tiles are missing at a corner: the sides are drawn
// out until they meet, so the corner comes back where it was.
func TestAroundDrawsOutTheSides(t *testing.T) {
	perspective := Quad{{12, 9}, {93, 14}, {88, 77}, {7, 70}}
	rotated := ordered(Quad(turned(12, Point{20, 20}, Point{80, 20}, Point{80, 60}, Point{20, 60})))
	for name, q := range map[string]Quad{"perspective": perspective, "rotated": rotated} {
		for corner := range 4 {
			got, ok := around(hull(nicked(q, corner, .1)))
			require.True(t, ok, name)
			assertPoints(t, q[:], got[:], 1e-9)
		}
		got, ok := around(hull(q[:]))
		require.True(t, ok)
		assertPoints(t, q[:], got[:], 1e-12)
	}
}

// Points that bulge out of a side move the side, and nothing is cut off.
func TestAroundHoldsAllPoints(t *testing.T) {
	for deg := 0.; deg < 90; deg += 7 {
		pts := turned(deg, Point{20, 20}, Point{50, 19}, Point{80, 20}, Point{81, 45}, Point{80, 60},
			Point{55, 61.5}, Point{20, 60}, Point{19.5, 33})
		q, ok := around(hull(pts))
		require.True(t, ok)
		assert.Greater(t, q.Area(), 0.)
		assert.Less(t, q.Area(), 1.1*60*40, "and it stays close")
		for _, p := range pts {
			for i := range q {
				assert.GreaterOrEqual(t, cross(q[i], q[(i+1)%4], p), -1e-6, "%v outside of side %d at %v°", p, i, deg)
			}
		}
	}
}

func TestAroundNeedsFourSides(t *testing.T) {
	_, ok := around([]Point{{0, 0}, {4, 0}, {0, 4}})
	assert.False(t, ok)
	_, ok = around(nil)
	assert.False(t, ok)
}

// Whatever corner comes first and whichever way round: top-left, top-right,
// bottom-right, bottom-left.
func TestOrdered(t *testing.T) {
	want := Quad{{12, 9}, {93, 14}, {88, 77}, {7, 70}}
	for first := range 4 {
		var cw, ccw Quad
		for i := range 4 {
			cw[i], ccw[i] = want[(first+i)%4], want[(first+4-i)%4]
		}
		assert.Equal(t, want, ordered(cw))
		assert.Equal(t, want, ordered(ccw))
	}
}

func TestGrownSquare(t *testing.T) {
	q := Quad{{2, 3}, {12, 3}, {12, 9}, {2, 9}}.Grown(1.5)
	assertPoints(t, []Point{{.5, 1.5}, {13.5, 1.5}, {13.5, 10.5}, {.5, 10.5}}, q[:], 1e-12)
}

// Every corner of the grown quad lies d outside of the two sides it ends, and
// growing back gives the old one.
func TestGrownMovesEverySideByItsDistance(t *testing.T) {
	q := Quad{{12, 9}, {93, 14}, {88, 77}, {7, 70}}
	for _, d := range []float64{4, -3} {
		g := q.Grown(d)
		for i := range q {
			a, b := q[i], q[(i+1)%4]
			l := math.Hypot(b.X-a.X, b.Y-a.Y)
			assert.InDelta(t, -d, cross(a, b, g[i])/l, 1e-9)
			assert.InDelta(t, -d, cross(a, b, g[(i+1)%4])/l, 1e-9)
		}
		back := g.Grown(-d)
		assertPoints(t, q[:], back[:], 1e-9)
	}
	assert.Equal(t, Quad{{12, 9}, {93, 14}, {88, 77}, {7, 70}}, q, "the old one stays")
}
