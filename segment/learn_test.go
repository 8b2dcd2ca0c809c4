package segment

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment/net"
)

// listeningNet sees what drawnNet sees, and believes what it is told: what looks like a
// colour that was shown to be tile is tile, what looks like the bed is gap. It counts how
// often it is asked.
type listeningNet struct{ asked int }

func (n *listeningNet) Tiles(in net.Input, threads int) []float32 {
	n.asked++
	tile, size := drawnNet{}.Tiles(in, threads), in.W*in.H
	alike := func(less []float32, i int) bool {
		return less != nil && abs32(less[i])+abs32(less[size+i])+abs32(less[2*size+i]) < .1*net.Gain
	}
	for i := range tile {
		switch {
		case alike(in.Told, i):
			tile[i] = 1
		case alike(in.Bed, i):
			tile[i] = 0
		}
	}
	return tile
}

// Places of tile (column, row) of the large grid: its left top corner.
func tileAt(column, row int) (x, y float64) { return 37.5 + 48*float64(column), 33.5 + 48*float64(row) }

// inTile says whether a place lies in a tile of the large grid.
func inTile(x, y float64, column, row int) bool {
	x0, y0 := tileAt(column, row)
	return x > x0 && x < x0+40 && y > y0 && y < y0+40
}

// painting puts a colour where it is wanted.
func painting(pic *colormath.Picture, c colormath.LinearRGB, on func(x, y float64) bool) *colormath.Picture {
	for y := range pic.H {
		for x := range pic.W {
			if on(float64(x), float64(y)) {
				pic.Set(x, y, c)
			}
		}
	}
	return pic
}

// striped is the large grid with a green stripe, 8 px wide, down each of three tiles,
// which drawnNet takes for a joint: 33 pieces instead of 30.
func striped() (grid, *colormath.Picture) {
	g := large()
	return g, painting(g.picture(), colormath.LinearRGB{G: .5, B: .1}, func(x, y float64) bool {
		for _, t := range [][2]int{{1, 1}, {3, 2}, {4, 3}} {
			if x0, _ := tileAt(t[0], t[1]); inTile(x, y, t[0], t[1]) && x > x0+16 && x < x0+24 {
				return true
			}
		}
		return false
	})
}

func (g grid) taughtBy(t *testing.T, f *Finder, pic *colormath.Picture, threads int, strokes ...Stroke) *Analysis {
	t.Helper()
	a, err := f.Analyse(context.Background(), pic, Options{Panel: g.panel(4), Strokes: strokes, Threads: threads})
	require.NoError(t, err)
	assertSound(t, a.Map())
	return a
}

// dabOn is a dab in the middle of a tile of the large grid.
func dabOn(shows Shows, column, row int, r float64) Stroke {
	x, y := tileAt(column, row)
	return line(shows, r, x+20, y+20)
}

// One dab on one of three striped tiles closes the stripes of all three, from edge to
// edge; taken off, it leaves no trace. All at once it gives the same, on however many
// threads.
func TestOneDabTeachesAllAlike(t *testing.T) {
	g, pic := striped()
	f := &Finder{net: &listeningNet{}}
	a := g.taughtBy(t, f, pic, 1)
	require.Len(t, a.Map().Tiles, 33)
	_, err := a.Stroke(dabOn(ShowsTile, 1, 1, 3))
	require.NoError(t, err)
	assert.Len(t, a.Map().Tiles, 32, "at first only the tile that was dabbed is whole")
	anew, err := a.Learn(context.Background())
	require.NoError(t, err)
	assert.True(t, anew)
	m := a.Map()
	require.Len(t, m.Tiles, 30)
	for _, tile := range m.Tiles {
		assert.InDelta(t, 1600, tile.AreaPx, 20)
	}
	for threads := range 4 {
		assertSameMap(t, g.taughtBy(t, f, pic, threads, a.Strokes()...).Map(), m)
	}
	anew, err = a.Learn(context.Background())
	require.NoError(t, err)
	assert.False(t, anew, "there is nothing more to learn")
	a.Undo()
	assertSameMap(t, g.taughtBy(t, f, pic, 2).Map(), a.Map())
}

// Strokes of all kinds, taught one by one, all together, or some and then the rest: the
// same map as from the beginning; and taken off again one by one, more of them than
// answers are kept.
func TestHoweverStrokesAreTaught(t *testing.T) {
	g, pic := striped()
	f := &Finder{net: &listeningNet{}}
	strokes := []Stroke{
		line(ShowsGap, 2, 200, 30, 202, 75), dabOn(ShowsTile, 3, 2, 3), dabOn(ShowsOutside, 0, 4, 25),
		dabOn(ShowsGap, 5, 0, 15), dabOn(ShowsTile, 2, 0, 4), dabOn(ShowsGap, 2, 3, 2), dabOn(ShowsOutside, 4, 3, 12),
	}
	require.Greater(t, len(strokes), mostAnswers)
	for name, learns := range map[string]func(n int) bool{
		"each":   func(int) bool { return true },
		"last":   func(n int) bool { return n == len(strokes) },
		"second": func(n int) bool { return n%2 == 0 || n == len(strokes) },
	} {
		a := g.taughtBy(t, f, pic, 1)
		for i, s := range strokes {
			_, err := a.Stroke(s)
			require.NoError(t, err)
			if learns(i + 1) {
				_, err := a.Learn(context.Background())
				require.NoError(t, err)
				assertSameMap(t, g.taughtBy(t, f, pic, 2, strokes[:i+1]...).Map(), a.Map())
			}
		}
		for n := len(strokes) - 1; n >= 0; n-- {
			a.Undo()
			if _, err := a.Learn(context.Background()); name == "each" {
				require.NoError(t, err)
				assertSameMap(t, g.taughtBy(t, f, pic, 2, strokes[:n]...).Map(), a.Map())
			}
		}
		assertSameMap(t, g.taughtBy(t, f, pic, 2).Map(), a.Map())
	}
}

// Two patches of bed shine so much that they pass for tiles, and nobody knows how the
// bed looks. A dab on one tells, and the other goes too.
func TestARedDabTellsTheBed(t *testing.T) {
	g := large()
	shining := colormath.LinearRGB{R: .9, G: .8, B: .1}
	pic := painting(g.picture(), shining, func(x, y float64) bool { return inTile(x, y, 1, 2) || inTile(x, y, 4, 1) })
	a := g.taughtBy(t, &Finder{net: &listeningNet{}}, pic, 1)
	require.Len(t, a.Map().Tiles, 30)
	a.ev.bed = nil
	_, err := a.Stroke(dabOn(ShowsGap, 1, 2, 5))
	require.NoError(t, err)
	_, err = a.Learn(context.Background())
	require.NoError(t, err)
	assert.Len(t, a.Map().Tiles, 28)
}

// A stroke outside the panel says nothing of tiles and gaps: the network isn't asked
// again. Nor is it where two photos decide.
func TestWhatTeachesNothing(t *testing.T) {
	g, pic := striped()
	n := &listeningNet{}
	paint := func(a *Analysis, s Stroke) {
		_, err := a.Stroke(s)
		require.NoError(t, err)
	}
	a := g.taughtBy(t, &Finder{net: n}, pic, 1)
	asked := n.asked
	paint(a, dabOn(ShowsOutside, 0, 4, 12))
	assert.Nil(t, a.Lesson())
	paint(a, dabOn(ShowsTile, 1, 1, 3))
	_, err := a.Learn(context.Background())
	require.NoError(t, err)
	assert.Equal(t, asked+1, n.asked)
	paint(a, dabOn(ShowsOutside, 0, 3, 12))
	assert.Nil(t, a.Lesson())

	b := g.taughtBy(t, &Finder{net: n}, pic, 1)
	b.ev.pair = &PairReading{}
	paint(b, dabOn(ShowsTile, 3, 2, 3))
	assert.Nil(t, b.Lesson())
}

// waitingNet answers no question before it is stopped, once it is told to wait.
type waitingNet struct {
	drawnNet
	waits bool
	asked chan struct{}
}

func (n *waitingNet) Tiles(in net.Input, threads int) []float32 {
	if n.waits {
		close(n.asked)
		<-in.Stop
	}
	return n.drawnNet.Tiles(in, threads)
}

// A lesson that is given up while the network looks changes nothing, and nothing of it
// is kept; a stroke that is painted meanwhile doesn't wait for it.
func TestALessonIsGivenUp(t *testing.T) {
	g, pic := striped()
	n := &waitingNet{asked: make(chan struct{})}
	a := g.taughtBy(t, &Finder{net: n}, pic, 1)
	first, second := dabOn(ShowsTile, 1, 1, 3), dabOn(ShowsTile, 3, 2, 3)
	_, err := a.Stroke(first)
	require.NoError(t, err)
	n.waits = true
	lesson, done := a.Lesson(), make(chan error)
	ctx, stop := context.WithCancel(context.Background())
	go func() { done <- lesson.Study(ctx) }()
	<-n.asked
	_, err = a.Stroke(second)
	require.NoError(t, err)
	stop()
	require.ErrorIs(t, <-done, context.Canceled)
	assert.False(t, a.Take(lesson))
	n.waits = false
	b := g.taughtBy(t, &Finder{net: n}, pic, 1)
	for _, s := range []Stroke{first, second} {
		_, err := b.Stroke(s)
		require.NoError(t, err)
	}
	assertSameMap(t, b.Map(), a.Map())
	_, err = a.Learn(ctx)
	require.ErrorIs(t, err, context.Canceled)
	assertSameMap(t, b.Map(), a.Map())
	anew, err := a.Learn(context.Background())
	require.NoError(t, err)
	assert.True(t, anew)
}

// What was learned from other strokes, or for another photo, is not taken.
func TestALessonOfOtherStrokes(t *testing.T) {
	g, pic := striped()
	f := &Finder{net: &listeningNet{}}
	a, b := g.taughtBy(t, f, pic, 1), g.taughtBy(t, f, pic, 1)
	for _, x := range []*Analysis{a, b} {
		_, err := x.Stroke(dabOn(ShowsTile, 1, 1, 3))
		require.NoError(t, err)
	}
	lesson := a.Lesson()
	assert.False(t, a.Take(lesson), "it wasn't studied")
	require.NoError(t, lesson.Study(context.Background()))
	assert.False(t, b.Take(lesson), "another analysis")
	_, err := a.Stroke(dabOn(ShowsTile, 2, 0, 3))
	require.NoError(t, err)
	assert.False(t, a.Take(lesson), "one stroke more")
	a.Undo()
	assert.True(t, a.Take(lesson))
	assert.False(t, a.Take(lesson), "it is known already")
}

// Bed is white here, tiles are black, and what the network takes for gap is drawn with
// dots. What a red stroke tells of the bed:
func TestBedUnderARedStroke(t *testing.T) {
	seenAs := `
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########
		########..########`
	board := func() *evidence {
		ev := seen(t, seenAs)
		ev.bare, ev.lay.gap = ev.tile, 2
		for i := range ev.lin {
			if x := i / 3 % ev.w; x == 8 || x == 9 || x == 14 { // bed lies at 14 too, which the network missed
				ev.lin[i] = 1
			}
		}
		return ev
	}
	for _, c := range []struct {
		name string
		s    Stroke
		bed  []float32 // red, sRGB-encoded; nil where nothing is told
	}{
		{"a line across two tiles: only where it crosses the joint", line(ShowsGap, 1, 1, 3, 16, 3), []float32{1}},
		{"a line on a tile tells nothing", line(ShowsGap, 1, 2, 1, 2, 5), nil},
		{"a dab on bed that the network missed", line(ShowsGap, 1, 14, 3), []float32{1}},
		{"a wide dab that strays: its inner half, three columns of seven", line(ShowsGap, 4, 14, 3), []float32{7. / 25}},
		{"blue tells nothing of the bed", line(ShowsTile, 1, 8, 3), nil},
		{"nor does what lies outside", line(ShowsOutside, 1, 8, 3), nil},
	} {
		bed := board().cluesWith([]Stroke{c.s}).bed
		if c.bed == nil {
			assert.Nil(t, bed, c.name)
			continue
		}
		require.NotNil(t, bed, c.name)
		assert.InDelta(t, c.bed[0], bed.at(3, 3)[0], .11, c.name)
	}
	ev, dab := board(), []Stroke{line(ShowsGap, 1, 14, 3)}
	ev.bed = &openBed{w: ev.w, h: ev.h}
	assert.Nil(t, ev.cluesWith(dab).bed, "what plain pieces weren't told of, a stroke doesn't tell")
	ev.told = true
	assert.Same(t, ev.bed, ev.cluesWith(dab).bed, "open bed tells more than a dab")
}

// The network was taught with 36 colours at most: of more, those stay that are least
// alike. On a line of greys the first is kept, then the far end, then the middle, then
// the quarters.
func TestMostUnlikeColours(t *testing.T) {
	var greys [][3]float32
	for i := range 9 {
		v := float32(i) / 8
		greys = append(greys, [3]float32{v, v, v})
	}
	kept := ""
	for _, c := range mostUnlike(greys, 5) {
		kept += fmt.Sprint(8*c[0], " ")
	}
	assert.Equal(t, "0 8 4 2 6 ", kept)
	assert.Len(t, mostUnlike(greys, 9), 9)
}
