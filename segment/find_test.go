package segment

import (
	"context"
	"image/jpeg"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/colormath/imgdiff"
	"gapshade/segment/net"
)

func realFinder(t *testing.T) *Finder {
	f, err := NewFinder()
	require.NoError(t, err)
	return f
}

// layoutPhoto is a cut of the layout in testdata: some 40 tiles, no edge of the
// panel.
func layoutPhoto(t *testing.T) *colormath.Picture {
	f, err := os.Open("../testdata/scenes/grid-whites/photo_white.jpg")
	require.NoError(t, err)
	defer f.Close()
	img, err := jpeg.Decode(f)
	require.NoError(t, err)
	all := imgdiff.FromImage(img)
	return painted(420, 340, func(x, y int) (r, g, b float64) {
		c := all.At(x+300, y+250)
		return c.R, c.G, c.B
	})
}

// Same input, same bytes, whatever the number of threads and however often.
func TestSameMapForAnyNumberOfThreads(t *testing.T) {
	f, pic := realFinder(t), layoutPhoto(t)
	q := &Quad{{3, 3}, {415, 5}, {417, 335}, {5, 336}}
	want, err := f.Find(context.Background(), pic, Options{Panel: q, Threads: 1})
	require.NoError(t, err)
	assertSound(t, want)
	require.Greater(t, len(want.Tiles), 9)
	for _, threads := range []int{1, 2, 3, 5} {
		got, err := f.Find(context.Background(), pic, Options{Panel: q, Threads: threads})
		require.NoError(t, err)
		assertSameMap(t, want, got)
	}
}

// The same without corners, where the outline is found as well.
func TestSamePanelForAnyNumberOfThreads(t *testing.T) {
	g := twelve(30.3, 24.7)
	want := g.find(t, Options{Threads: 1})
	for _, threads := range []int{2, 3, 5} {
		assertSameMap(t, want, g.find(t, Options{Threads: threads}))
	}
}

// One Finder serves several photos at once. The race detector watches.
func TestFinderIsSafeForConcurrentUse(t *testing.T) {
	f := &Finder{net: drawnNet{}}
	g := twelve(30.3, 24.7)
	want := g.find(t, Options{Panel: g.panel(2.3)})
	var wg sync.WaitGroup
	for range 3 {
		wg.Go(func() {
			got, err := f.Find(context.Background(), g.picture(), Options{Panel: g.panel(2.3), Threads: 2})
			assert.NoError(t, err)
			assertSameMap(t, want, got)
		})
	}
	wg.Wait()
}

func TestFindLeavesThePictureAndThePanelAlone(t *testing.T) {
	g := twelve(30.3, 24.7)
	pic, q := g.picture(), g.panel(2.3)
	f := &Finder{net: drawnNet{}}
	_, err := f.Find(context.Background(), pic, Options{Panel: q})
	require.NoError(t, err)
	assert.Equal(t, g.picture(), pic)
	assert.Equal(t, g.panel(2.3), q)
}

func TestFindStopsBeforeItStarts(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	n := &countingNet{}
	_, err := (&Finder{net: n}).Find(ctx, twelve(30, 24).picture(), Options{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Zero(t, n.looks)
}

// countingNet cancels in the middle of a look.
type countingNet struct {
	looks, last int
	cancel      func()
	blind       bool // sees nothing, so that there would be a next look
}

func (n *countingNet) Tiles(in net.Input, threads int) []float32 {
	n.looks++
	if n.looks == n.last {
		n.cancel()
	}
	if n.blind {
		return make([]float32, in.W*in.H)
	}
	return drawnNet{}.Tiles(in, threads)
}

// Whichever look is interrupted, it is the last one, and the error is ctx's, not
// "no gaps".
func TestFindStopsAfterTheLookThatIsInterrupted(t *testing.T) {
	pic := painted(900, 700, func(int, int) (r, g, b float64) { return .5, .5, .5 })
	for last := 1; last <= 2; last++ {
		ctx, cancel := context.WithCancel(context.Background())
		n := &countingNet{last: last, cancel: cancel, blind: true}
		_, err := (&Finder{net: n}).Find(ctx, pic, Options{})
		assert.ErrorIs(t, err, context.Canceled)
		assert.Equal(t, last, n.looks)
		assert.NotErrorAs(t, err, new(*NoGapsError))
	}
}

func TestFindStopsWhenTheTimeIsUp(t *testing.T) {
	ctx, cancel := context.WithDeadline(context.Background(), time.Now().Add(-time.Second))
	defer cancel()
	_, err := (&Finder{net: drawnNet{}}).Find(ctx, twelve(30, 24).picture(), Options{})
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}

// Cancelled in the look that would have succeeded: no map without an error.
func TestFindCancelledInAGoodLook(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	g := twelve(30.3, 24.7)
	n := &countingNet{last: 1, cancel: cancel}
	_, err := (&Finder{net: n}).Find(ctx, g.picture(), Options{Panel: g.panel(2.3)})
	assert.ErrorIs(t, err, context.Canceled)
}

// Strict refuses what is only likely; a clean grid is more than that.
func TestStrictTakesACleanGrid(t *testing.T) {
	g := twelve(30.3, 24.7)
	m := g.find(t, Options{Panel: g.panel(2.3), Strict: true})
	assert.Len(t, m.Tiles, 12)
}

// A tiny picture is no reason to crash.
func TestFindOnVerySmallPictures(t *testing.T) {
	f := realFinder(t)
	for _, s := range [][2]int{{1, 1}, {2, 1}, {1, 7}, {16, 16}} {
		_, err := f.Find(context.Background(), colormath.NewPicture(s[0], s[1]), Options{})
		assert.ErrorAs(t, err, new(*NoGapsError), "%d × %d", s[0], s[1])
	}
}

// Hints that make no sense end in a refusal, not in a crash.
func TestFindWithHintsNobodyCanUse(t *testing.T) {
	f := realFinder(t)
	pic := twelve(30, 24).picture()
	for name, opt := range map[string]Options{
		"a panel without area":  {Panel: &Quad{{50, 50}, {50, 50}, {50, 50}, {50, 50}}},
		"a panel off the photo": {Panel: &Quad{{500, 500}, {600, 500}, {600, 600}, {500, 600}}},
		"gaps of a kilometre":   {GapPx: 1e9},
	} {
		_, err := f.Find(context.Background(), pic, opt)
		assert.ErrorAs(t, err, new(*NoGapsError), name)
	}
}
