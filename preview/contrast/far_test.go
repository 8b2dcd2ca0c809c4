package contrast

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// lineResponses reads scielab_line_response.csv.
func lineResponses(t *testing.T) (rows []map[string]float64) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", "scielab_line_response.csv"))
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, rec := range all[1:] {
		row := map[string]float64{}
		for i, name := range all[0] {
			row[name], err = strconv.ParseFloat(rec[i], 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	return rows
}

// line is two tiles and the joint between them, px; where is its middle.
func line(w, h int, gap, where float64, down bool) drawing {
	return drawing{w: w, h: h, gap: gap, at: func(x, y float64) int {
		if down {
			x = y
		}
		switch off := x - where; {
		case off < -gap/2:
			return 1
		case off > gap/2:
			return 2
		}
		return 0
	}}
}

// Oracle: scielab_line_response.csv, what the eye's filters leave in the middle of
// a long straight joint. Here the joint lies between two tiles of a photo, the
// picture is a scheme of it at another size, and the middle is found by the code.
// Both directions; photos in which the joint is 2 to 20 px wide. Within .036 of the
// joint's full contrast (.05 where it is 2 px wide), and .01 on the mean: what
// filters and sampling alone cost is in colormath's tests.
func TestLineBetweenTwoTiles(t *testing.T) {
	checked, off := 0, 0.0
	for _, row := range lineResponses(t) {
		for i, gap := range []float64{2, 3.3, 5, 20} {
			mmPerPx := row["joint_mm"] / gap
			// Three degrees: ends and cores lie out of the joint's reach, the widest
			// term apart.
			half := 3 * colormath.SamplesPerDegree(row["distance_m"], mmPerPx)
			if half > 700 {
				continue
			}
			w, h := int(2*half+gap), int(half)
			d := line(w, h, gap, float64(w)/2+.2, false)
			if i%2 == 1 {
				d = line(h, w, gap, float64(w)/2+.4, true)
			}
			m := d.draw()
			v := NewPanel(m, flat(m, always(colormath.Lab{L: 50})), nil, 0).From(t.Context(), []float64{row["distance_m"]}, mmPerPx, 0)[0]
			for k, plane := range []string{"luminance", "red_green", "blue_yellow"} {
				got := v.outline[0].joint[k] - v.core[0].joint[k]
				off += math.Abs(got - row[plane])
				tolerance := .036
				if gap < 3 {
					tolerance = .05
				}
				assert.InDelta(t, row[plane], got, tolerance, "%s, %g mm at %g m, %g px", plane, row["joint_mm"], row["distance_m"], gap)
				checked++
			}
		}
	}
	require.Greater(t, checked, 100)
	assert.LessOrEqual(t, off/float64(checked), .01)
}

// Close to, what is seen is what was measured, give or take what the eye's
// surround adds (its widest term takes a little off the mean); far off, tiles and
// joints come to one colour, the mean of their light, which Afar gives by
// arithmetic.
func TestNearAndFar(t *testing.T) {
	m := courses(12, 9, 40, 40, 8, 0).draw()
	colour := func(tile int) colormath.Lab {
		if tile%2 == 0 {
			return colormath.Lab{L: 35, A: -10, B: -14}
		}
		return colormath.Lab{L: 70, A: 5, B: 40}
	}
	p := NewPanel(m, flat(m, colour), nil, 2)
	shade := colormath.Lab{L: 60, A: 1, B: 4}
	s := p.Measure(shade)
	const mmPerPx = .25 // tiles of 10 mm, joints of 2 mm
	views := p.From(t.Context(), []float64{.03, 300}, mmPerPx, 2)
	near := views[0].Measure(shade)
	assert.InDelta(t, s.HyAB.P10, near.HyAB.P10, .12*s.HyAB.P10)
	assert.InDelta(t, s.HyAB.P50, near.HyAB.P50, .12*s.HyAB.P50)
	assert.InDelta(t, s.HyAB.P90, near.HyAB.P90, .12*s.HyAB.P90)
	assert.Equal(t, s.Merging, near.Merging)

	far := views[1].Measure(shade)
	assert.Less(t, far.HyAB.P90, 1.0)
	for i := range m.Tiles {
		assert.Less(t, colormath.DeltaE76(p.Afar(shade), views[1].core[i].under(shade.LinearRGB().Opponent())), 1.0)
	}
	assert.Equal(t, 1, far.Groups, "all of it reads as one")
	assert.Equal(t, 1, far.Pieces)
	assert.Equal(t, 1.0, far.MergingShare)
}

// From farther off there is never more of the contrast left, and tiles only ever
// join. Joints of 2 mm, 14 lighter than the tiles: kept apart at arm's length, one
// field across the room.
func TestContrastFadesWithDistance(t *testing.T) {
	m := courses(12, 9, 40, 40, 8, .5).draw()
	p := NewPanel(m, flat(m, always(colormath.Lab{L: 40})), nil, 2)
	views := p.From(t.Context(), []float64{.5, 1, 2, 3, 5, 10}, .25, 2)
	last := Seen{HyAB: colormath.Spread{P10: 99, P50: 99, P90: 99}, Merging: Merging{Pieces: len(m.Tiles)}}
	for _, v := range views {
		got := v.Measure(colormath.Lab{L: 54})
		assert.Less(t, got.HyAB.P50, last.HyAB.P50, "at %g m", v.DistanceM)
		assert.LessOrEqual(t, got.Pieces, last.Pieces, "at %g m", v.DistanceM)
		last = got
	}
	assert.Equal(t, len(m.Tiles), views[0].Measure(colormath.Lab{L: 54}).Pieces)
	assert.Equal(t, 1, last.Pieces)
}

// A difference of colour fades before one of lightness does: at 3 m a 2 mm joint
// keeps .68 of its luminance and .34 of its red against green (the same table).
func TestColourFadesBeforeLightness(t *testing.T) {
	m := courses(3, 3, 400, 400, 8, 0).draw()
	seen := func(tile, shade colormath.Lab) (joint, core colormath.Lab) {
		p := NewPanel(m, flat(m, always(tile)), nil, 2)
		v := p.From(t.Context(), []float64{3}, .25, 2)[0]
		o := shade.LinearRGB().Opponent()
		return v.outline[4].under(o), v.core[4].under(o)
	}
	joint, core := seen(colormath.Lab{L: 40}, colormath.Lab{L: 60})
	near, far := colormath.Lab{L: 60}.Luminance()-colormath.Lab{L: 40}.Luminance(), joint.Luminance()-core.Luminance()
	assert.InDelta(t, .68, far/near, .03)
	joint, core = seen(colormath.Lab{L: 50, A: -20}, colormath.Lab{L: 50, A: 20})
	assert.InDelta(t, .34, (joint.A-core.A)/40, .06)
}

// Threads do not change what is seen, to the last bit; a panel without a scheme has
// no view.
func TestViewsDoNotDependOnThreads(t *testing.T) {
	m := courses(7, 5, 33, 29, 6, .4).draw()
	p := NewPanel(m, flat(m, func(i int) colormath.Lab { return colormath.Lab{L: float64(20 + i), B: float64(i)} }), nil, 1)
	q := NewPanel(m, p.Lab, nil, 3)
	assert.Equal(t, p.scheme, q.scheme)
	one, many := p.From(t.Context(), []float64{.5, 4}, .3, 1), q.From(t.Context(), []float64{.5, 4}, .3, 5)
	for i := range one {
		assert.Equal(t, one[i].core, many[i].core)
		assert.Equal(t, one[i].outline, many[i].outline)
	}
	assert.Empty(t, NewPanel(row(1, 1), greys(1, 2), nil, 1).From(t.Context(), []float64{1}, 1, 1))
}
