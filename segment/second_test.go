package segment_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
)

// How far a second photo is from where it should be, over the whole panel: a quarter
// of a pixel at most, for all that a touched tripod or a steady hand does,
// with grain on the faces and without.
func TestSecondPhotoIsLaidExactly(t *testing.T) {
	d := sixtyThree()
	for name, c := range map[string]struct {
		first, second, exposure, clouds float64
		pose                            colormath.Homography
	}{
		"still":     {white, black, 1, .03, still},
		"shifted":   {white, black, 1.05, .03, turned(d.w, d.h, 0, 1, 4.8, -4.1)},
		"turned":    {white, black, .95, .03, turned(d.w, d.h, 2, 1, -3.4, 2.2)},
		"nearer":    {black, white, 1.05, .03, turned(d.w, d.h, -.5, 1.015, 1.5, 1.5)},
		"tilted":    {black, white, 1, .03, colormath.Homography{1.002, .004, -2, -.003, .998, 1, 4e-6, -3e-6, 1}},
		"dark hour": {white, black, .4, .03, turned(d.w, d.h, .5, 1, 2.5, -1.7)},
		"no grain":  {white, black, 1.05, 0, turned(d.w, d.h, .5, 1, 2.5, -1.7)},
	} {
		t.Run(name, func(t *testing.T) {
			d := d
			d.clouds = c.clouds
			m, err := d.find(t, shot{c.first, still, 1, 1}, shot{c.second, c.pose, c.exposure, 2}, segment.Options{})
			require.NoError(t, err)
			require.Len(t, m.Tiles, 63)
			t.Logf("off by %.3f px", offPx(m.Pair.ToPicture, c.pose, d.panel()))
			assert.LessOrEqual(t, offPx(m.Pair.ToPicture, c.pose, d.panel()), .25)
			assert.Equal(t, c.second > c.first, m.Pair.Lighter)
			for _, k := range m.Pair.Exposure {
				assert.InDelta(t, 1/c.exposure, k, .01/c.exposure)
			}
			// by arithmetic, .85 and .02: (.85 − .02) ÷ (.85 + .02) = .954; noise and blur take a little
			assert.InDelta(t, .954, m.Pair.Contrast, .02)
			assert.Zero(t, m.Pair.Through)
			assert.Nil(t, m.Through)
		})
	}
}

// However blurred, the edges of a pair come out where they were drawn: to a sixth of
// a pixel on the mean, one and all to a third. By arithmetic gap is 1 − (40/48)² of the
// panel; corners come out a little round.
func TestEdgesOfAPair(t *testing.T) {
	for _, blur := range []float64{.3, .7, 1.2} {
		d := sixtyThree()
		d.blur = blur
		m, err := d.find(t, shot{white, still, 1, 1}, shot{black, turned(d.w, d.h, .5, 1, 1.5, -1.7), 1.05, 2}, segment.Options{})
		require.NoError(t, err)
		off := d.edgeErrors(m)
		sum := 0.
		for i, e := range off {
			sum += e
			off[i] = math.Abs(e)
		}
		slices.Sort(off)
		t.Logf("blur %.1f px: mean %+.3f px, worst of 99 in 100 %.2f px, gap %.4f", blur, sum/float64(len(off)), colormath.Quantile(off, .99), m.GapShare)
		assert.InDelta(t, 0, sum/float64(len(off)), 1./6)
		assert.LessOrEqual(t, colormath.Quantile(off, .99), 1./3)
		assert.InDelta(t, 1-40.*40/48/48, m.GapShare, .02)
	}
}

// A phone held over a table often gets up and down wrong, and the second photo may be
// smaller.
func TestSecondPhotoMayBeTurnedAndSmaller(t *testing.T) {
	d := sixtyThree()
	first := d.photo(shot{white, still, 1, 1})
	upsideDown := colormath.Homography{-1, 0, float64(d.w - 1), 0, -1, float64(d.h - 1), 0, 0, 1}
	pose := upsideDown.After(turned(d.w, d.h, .5, 1, 2, -1))
	second := d.photo(shot{black, pose, 1, 2})
	m, err := finder(t).Find(t.Context(), first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(second, first)})
	require.NoError(t, err)
	assert.LessOrEqual(t, offPx(m.Pair.ToPicture, pose, d.panel()), .25)

	// half the size: pixel (x, y) of the small one is the middle of (2x, 2y) … (2x+1, 2y+1)
	half := colormath.Homography{.5, 0, -.25, 0, .5, -.25, 0, 0, 1}
	small := reduced(d.photo(shot{black, turned(d.w, d.h, .5, 1, 2, -1), 1, 2}), 2)
	m, err = finder(t).Find(t.Context(), first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(small, first)})
	require.NoError(t, err)
	assert.LessOrEqual(t, offPx(m.Pair.ToPicture, half.After(turned(d.w, d.h, .5, 1, 2, -1)), d.panel()), .25)
	assert.Len(t, m.Tiles, 63)

	// a quarter turn clockwise: (x, y) goes to (h−1−y, x)
	upright := colormath.NewPicture(d.h, d.w)
	for y := range d.h {
		for x := range d.w {
			upright.Set(d.h-1-y, x, second.At(d.w-1-x, d.h-1-y))
		}
	}
	m, err = finder(t).Find(t.Context(), first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(upright, first)})
	require.NoError(t, err)
	assert.Len(t, m.Tiles, 63)
}

func pairFault(t *testing.T, err error) *segment.PairError {
	t.Helper()
	var e *segment.PairError
	require.ErrorAs(t, err, &e)
	assert.NotEmpty(t, e.Why)
	return e
}

// One tile that was pushed by three pixels is enough to refuse, and its place is told;
// half a pixel is nothing.
func TestMovedTilesAreRefused(t *testing.T) {
	d := sixtyThree()
	by := 3.
	d.moved = func(tile int) (dx, dy float64) {
		if tile == 31 { // the fifth of the fourth row, the middle of all
			return by * .8, by * .6
		}
		return 0, 0
	}
	first, second := shot{white, still, 1, 1}, shot{black, turned(d.w, d.h, .5, 1, 2.5, -1.7), 1.05, 2}
	_, err := d.find(t, first, second, segment.Options{})
	e := pairFault(t, err)
	assert.Equal(t, segment.TilesMoved, e.Fault)
	assert.Equal(t, "1 of 63 tiles lies elsewhere than in the first, the worst at 240,200 by 3 px", e.Why)

	by = .5
	m, err := d.find(t, first, second, segment.Options{})
	require.NoError(t, err)
	assert.Len(t, m.Tiles, 63)

	by = 1.8 // several at once give themselves away sooner
	d.moved = func(tile int) (dx, dy float64) {
		if tile%9 == 2 {
			return by, 0
		}
		return 0, 0
	}
	_, err = d.find(t, first, second, segment.Options{})
	assert.Equal(t, segment.TilesMoved, pairFault(t, err).Fault)
}

// The same paper twice, however exposed, tells nothing; nor does a shade of it.
func TestSamePaperIsRefused(t *testing.T) {
	d := sixtyThree()
	for _, c := range [][2]float64{{white, white}, {black, black}, {white, .78}} {
		_, err := d.find(t, shot{c[0], still, 1, 1}, shot{c[1], turned(d.w, d.h, .5, 1, 2.5, -1.7), .8, 2}, segment.Options{})
		assert.Equal(t, segment.SamePaper, pairFault(t, err).Fault, "%v", c)
	}
	// two thirds of the light is enough
	m, err := d.find(t, shot{white, still, 1, 1}, shot{.57, still, 1, 2}, segment.Options{})
	require.NoError(t, err)
	assert.InDelta(t, (.85-.57)/(.85+.57), m.Pair.Contrast, .02)
}

// Another layout of the same size, and a photo of another shape.
func TestAnotherLayoutIsRefused(t *testing.T) {
	d, other := sixtyThree(), sixtyThree()
	other.cols, other.rows, other.tile = 7, 5, 53
	first := d.photo(shot{white, still, 1, 1})
	opt := segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(other.photo(shot{black, still, 1, 2}), first)}
	_, err := finder(t).Find(t.Context(), first, opt)
	assert.Equal(t, segment.OtherLayout, pairFault(t, err).Fault)

	wide := sixtyThree()
	wide.w = 560
	opt.Second = asSecond(wide.photo(shot{black, still, 1, 2}), first)
	_, err = finder(t).Find(t.Context(), first, opt)
	e := pairFault(t, err)
	assert.Equal(t, segment.OtherShape, e.Fault)
	assert.Equal(t, "the second is 560 x 400 px, the first 480 x 400", e.Why)
}

// Every third tile lets three tenths of the bed's light through, every third one tenth:
// that is what comes back, and none of the others lets any.
func TestLightThroughTiles(t *testing.T) {
	d := sixtyThree()
	d.through = func(tile int) float64 { return [...]float64{.3, 0, .1}[tile%3] }
	for _, papers := range [][2]float64{{white, black}, {black, white}} {
		m, err := d.find(t, shot{papers[0], still, 1, 1}, shot{papers[1], turned(d.w, d.h, .5, 1, 2.5, -1.7), 1.05, 2}, segment.Options{})
		require.NoError(t, err)
		require.Len(t, m.Tiles, 63)
		require.Len(t, m.Through, m.W*m.H)
		assert.Equal(t, 42, m.Pair.Through)
		for i, b := range m.Tiles {
			var sum, n float64
			for y := b.Y0; y < b.Y1; y++ {
				for x := b.X0; x < b.X1; x++ {
					if m.Gap[y*m.W+x] == 0 {
						sum, n = sum+float64(m.Through[y*m.W+x])/255, n+1
					}
				}
			}
			assert.InDelta(t, d.through(i), sum/n, .02, "tile %d", i+1)
		}
		for i, g := range m.Gap {
			if g == 255 {
				require.Zero(t, m.Through[i])
			}
		}
	}
}

// Same photos, same bytes, whatever the number of threads.
func TestSamePairForAnyNumberOfThreads(t *testing.T) {
	d := sixtyThree()
	d.through = func(tile int) float64 { return .1 * float64(tile%2) }
	first, second := d.photo(shot{white, still, 1, 1}), d.photo(shot{black, turned(d.w, d.h, .5, 1, 2.5, -1.7), 1.05, 2})
	find := func(threads int) *segment.Map {
		m, err := finder(t).Find(t.Context(), first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(second, first), Threads: threads})
		require.NoError(t, err)
		return m
	}
	want := find(1)
	for _, threads := range []int{2, 3, 5} {
		assert.Equal(t, want, find(threads), "%d threads", threads)
	}
}

// A cancelled run gives the context's error wherever it is stopped.
func TestPairCanBeCancelled(t *testing.T) {
	d := sixtyThree()
	first, second := d.photo(shot{white, still, 1, 1}), d.photo(shot{black, still, 1, 2})
	f := finder(t)
	for stop := range 12 {
		ctx, cancel := context.WithCancel(t.Context())
		asked := 0
		_, err := f.Find(counting{ctx, func() {
			if asked++; asked > stop {
				cancel()
			}
		}}, first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(second, first)})
		cancel()
		if err == nil {
			require.Greater(t, stop, 4, "a run asks several times")
			return
		}
		require.ErrorIs(t, err, context.Canceled)
	}
	t.Fatal("it asks without end")
}

// counting calls back whenever somebody asks whether to go on.
type counting struct {
	context.Context
	asked func()
}

func (c counting) Err() error { c.asked(); return c.Context.Err() }

// Strokes on a pair: the map after each is that of a full run with them, the light
// through the tiles included, also where a stroke makes a gap or a tile.
func TestStrokesOnAPairEqualAFullRun(t *testing.T) {
	d := sixtyThree()
	d.through = func(tile int) float64 { return .1 * float64(tile%2) }
	first, second := d.photo(shot{white, still, 1, 1}), d.photo(shot{black, turned(d.w, d.h, .5, 1, 2.5, -1.7), 1.05, 2})
	opt := segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(second, first)}
	a, err := finder(t).Analyse(t.Context(), first, opt)
	require.NoError(t, err)
	before := a.Map().Through
	require.NotNil(t, before)
	at := func(x, y, r float64) segment.Dab { return segment.Dab{Point: segment.Point{X: x, Y: y}, R: r} }
	for _, s := range []segment.Stroke{
		{Shows: segment.ShowsGap, Path: []segment.Dab{at(100, 100, 14)}},
		{Shows: segment.ShowsTile, Path: []segment.Dab{at(240, 150, 6), at(240, 200, 6)}},
		{Shows: segment.ShowsOutside, Path: []segment.Dab{at(350, 250, 25)}},
	} {
		_, err := a.Stroke(s)
		require.NoError(t, err)
		opt.Strokes = a.Strokes()
		want, err := finder(t).Find(t.Context(), first, opt)
		require.NoError(t, err)
		assert.True(t, slices.Equal(want.Through, a.Map().Through))
		assert.Equal(t, want.Tiles, a.Map().Tiles)
		assert.Equal(t, want.GapShare, a.Map().GapShare)
	}
	assert.False(t, slices.Equal(before, a.Map().Through))
}
