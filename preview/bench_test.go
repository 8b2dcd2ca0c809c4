package preview

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/grout"
	"gapshade/segment"
)

// benchStrokes open a gap across a tile, close a joint, dab, and take a corner out.
func benchStrokes() []segment.Stroke {
	at := func(x, y, r float64) segment.Dab { return segment.Dab{Point: segment.Point{X: x, Y: y}, R: r} }
	return []segment.Stroke{
		{Shows: segment.ShowsGap, Path: []segment.Dab{at(150, 70, 4), at(170, 100, 4)}},
		{Shows: segment.ShowsTile, Path: []segment.Dab{at(300, 93, 6), at(330, 93, 6)}},
		{Shows: segment.ShowsTile, Path: []segment.Dab{at(400, 200, 5)}},
		{Shows: segment.ShowsOutside, Path: []segment.Dab{at(520, 330, 40)}},
	}
}

// same holds a bench to what Make gives for its strokes and these settings.
func same(t *testing.T, b *Bench, s Settings) {
	t.Helper()
	s.Marks = b.Strokes()
	want, err := Make(context.Background(), drawnPhoto(t), s)
	require.NoError(t, err)
	got, err := b.Proof(context.Background())
	require.NoError(t, err)
	assert.Equal(t, want.Map, got.Map)
	assert.Equal(t, want.Trials, got.Trials)
	assert.Equal(t, want.Notes, got.Notes)
	assert.Equal(t, want.Light, got.Light)
	assert.Equal(t, want.Frame, got.Frame)
	assert.Equal(t, want.Settings, got.Settings)
	assert.Equal(t, want.Draw(0).Pix, got.Draw(0).Pix)
}

// After every stroke, and after taking them off again, a bench stands where a
// whole run with the strokes that are left would be.
func TestBenchIsMake(t *testing.T) {
	for name, change := range map[string]func(*Settings){
		"plain":        func(*Settings) {},
		"straightened": func(s *Settings) { s.Straighten = true },
		"with a mark":  func(s *Settings) { s.Marks = benchStrokes()[2:] },
	} {
		t.Run(name, func(t *testing.T) {
			s := sizedSettings(t)
			change(&s)
			b, err := Prepare(context.Background(), drawnPhoto(t), s)
			require.NoError(t, err)
			for _, k := range benchStrokes() {
				require.NoError(t, b.Stroke(k))
			}
			same(t, b, s)
			for range 3 {
				assert.True(t, b.Undo())
			}
			same(t, b, s)
		})
	}
}

// At once after a stroke the light is the one that was read before, and the drawing,
// renewed where the stroke lies, is what a new one would be under that light. When all
// was read anew the earlier drawing still stands for whoever uses it.
func TestBenchIsNearAtOnce(t *testing.T) {
	b, err := Prepare(context.Background(), drawnPhoto(t), sizedSettings(t))
	require.NoError(t, err)
	first, err := b.Proof(context.Background())
	require.NoError(t, err)
	read := b.read
	bare := first.Draw(0).Pix
	for i, k := range benchStrokes() {
		require.NoError(t, b.Stroke(k))
		assert.False(t, b.Fresh())
		p, whole := b.Near()
		assert.False(t, whole)
		assert.Same(t, read, b.read)
		anew, err := p.filler(context.Background(), b.view, read)
		require.NoError(t, err)
		assert.Equal(t, anew.Draw(p.Trials[0].Shade, "").Pix, p.Draw(0).Pix, "stroke %d", i)
	}
	p, _ := b.Near()
	rough := p.Draw(0).Pix
	assert.NotEqual(t, bare, rough)
	_, err = b.Proof(context.Background())
	require.NoError(t, err)
	assert.True(t, b.Fresh())
	assert.NotSame(t, read, b.read)
	assert.Equal(t, rough, p.Draw(0).Pix)
}

// A stroke is answered before it has taught anything; then the bench has the map that
// Make gives for the same strokes, to the last byte, and a drawing of it, while the one
// before still stands. A lesson of fewer strokes than there are by then is of no use.
func TestBenchLearns(t *testing.T) {
	s := sizedSettings(t)
	b, err := Prepare(context.Background(), drawnPhoto(t), s)
	require.NoError(t, err)
	_, err = b.Proof(context.Background())
	require.NoError(t, err)
	assert.Nil(t, b.Lesson())
	for i, k := range benchStrokes() {
		require.NoError(t, b.Stroke(k))
		before, _ := b.Near()
		rough := before.Draw(0).Pix
		lesson := b.Lesson()
		if k.Shows == segment.ShowsOutside {
			assert.Nil(t, lesson)
			continue
		}
		require.NoError(t, lesson.Study(context.Background()))
		if i == 1 {
			require.NoError(t, b.Stroke(benchStrokes()[2]))
			assert.False(t, b.Learn(lesson), "a stroke was painted meanwhile")
			assert.True(t, b.Undo())
		}
		require.True(t, b.Learn(lesson))
		assert.Nil(t, b.Lesson())
		assert.Equal(t, rough, before.Draw(0).Pix, "stroke %d", i)
		now, whole := b.Near()
		assert.False(t, whole)
		s.Marks = b.Strokes()
		want, err := Make(context.Background(), drawnPhoto(t), s)
		require.NoError(t, err)
		assert.Equal(t, want.Map, now.Map)
		anew, err := now.filler(context.Background(), b.view, b.read)
		require.NoError(t, err)
		assert.Equal(t, anew.Draw(now.Trials[0].Shade, "").Pix, now.Draw(0).Pix, "stroke %d", i)
	}
	same(t, b, s)
}

// A look that is given up leaves a bench as it was, to be looked at again.
func TestBenchGivenUp(t *testing.T) {
	s := sizedSettings(t)
	b, err := Prepare(context.Background(), drawnPhoto(t), s)
	require.NoError(t, err)
	require.NoError(t, b.Stroke(benchStrokes()[0]))
	b.Near()
	require.NoError(t, b.Stroke(benchStrokes()[1]))
	gone, stop := context.WithCancel(context.Background())
	stop()
	_, err = b.Proof(gone)
	require.ErrorIs(t, err, context.Canceled)
	same(t, b, s)
}

// Shades, aim and distances change without a new search, and strokes still count.
func TestBenchTries(t *testing.T) {
	s := sizedSettings(t)
	b, err := Prepare(context.Background(), drawnPhoto(t), s)
	require.NoError(t, err)
	_, err = b.Proof(context.Background())
	require.NoError(t, err)
	s.Aim, s.Title = Blend, "Another"
	require.NoError(t, b.Try(s))
	same(t, b, s)
	s.DistancesM, s.Shades = []float64{3}, grout.Palette()[2:5]
	require.NoError(t, b.Try(s))
	same(t, b, s)
	s.Job.ThicknessMm, s.Job.EdgeMm = 9, 5
	require.NoError(t, b.Try(s))
	same(t, b, s)
	require.NoError(t, b.Stroke(benchStrokes()[0]))
	s.Aim = Outline
	require.NoError(t, b.Try(s))
	same(t, b, s)
}

// What can't be changes nothing.
func TestBenchRefuses(t *testing.T) {
	s := sizedSettings(t)
	b, err := Prepare(context.Background(), drawnPhoto(t), s)
	require.NoError(t, err)
	assert.False(t, b.Undo(), "there is nothing to take off")
	require.Error(t, b.Stroke(segment.Stroke{Shows: segment.ShowsGap}))
	bad := s
	bad.Aim = "loud"
	require.Error(t, b.Try(bad))
	bad = s
	bad.Shades = nil
	require.Error(t, b.Try(bad))
	same(t, b, s)
}
