package page

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/said"
	"gapshade/segment"
)

// fields are the names of a struct's own fields.
func fields(v any) (names []string) {
	for _, f := range reflect.VisibleFields(reflect.TypeOf(v)) {
		if !f.Anonymous && len(f.Index) == 1 {
			names = append(names, f.Name)
		}
	}
	return names
}

// The page can say all that the command can, but for threads and strictness: what a
// flag is added for must not be missed here.
func TestThePageSaysWhatTheCommandSays(t *testing.T) {
	page, job := append(fields(settings{}), "Distance", "Own", "Threads", "Strict"), fields(jobSettings{})
	for _, name := range fields(said.Words{}) {
		assert.Contains(t, page, name)
	}
	for _, name := range fields(said.Job{}) {
		assert.Contains(t, job, name)
	}
	// and every word arrives
	w, err := (&settings{Corners: &corners{{1, 2}, {30.5, 2}, {30, 40}, {1, 40}}, Size: "a", Bed: "b", SecondBed: "c", Gap: "d", Grey: "e", Shoulder: "f",
		Aim: "g", Shades: []shade{{"own", lab{50, 1, 2}}}, Distances: "h", State: "damp", Recess: "j", Flush: true, Plain: true, Clear: true, GrainSeed: 9, Title: "i", Straighten: true,
		Job: jobSettings{Thickness: "1", Material: "2", Place: "3", Kind: "4", Edge: "5", Allowance: "6", Variation: "7", Temperature: "8",
			PotLife: "9", Clock: "10", Start: "11", Units: "12", Grouted: true}}).words()
	require.NoError(t, err)
	own, err := grout.Own("own", colormath.Lab{L: 50, A: 1, B: 2})
	require.NoError(t, err)
	assert.Equal(t, said.Words{Corners: "1,2 30.5,2 30,40 1,40", Size: "a", Bed: "b", SecondBed: "c", Gap: "d", Grey: "e", Shoulder: "f", Aim: "g",
		Own: []grout.Shade{own}, Distance: "h", State: "damp", Recess: "j", Flush: true, Plain: true, Clear: true, GrainSeed: 9, Title: "i", Straighten: true, Job: said.Job{Thickness: "1", Material: "2", Place: "3", Kind: "4",
			Edge: "5", Allowance: "6", Variation: "7", Temperature: "8", PotLife: "9", Clock: "10", Start: "11", Units: "12", Grouted: true}}, w)
}

// A plain page is a plain run.
func TestPlainSettings(t *testing.T) {
	s := plainSettings()
	w, err := s.words()
	require.NoError(t, err)
	got, err := w.Settings()
	require.NoError(t, err)
	assert.Equal(t, preview.Default(), got)
	assert.Empty(t, w.Args(shadesName))
}

// Places of the photo and of the working picture, by hand: at a third of the size,
// the middle of the first square of 3 × 3 px is px 1 of the photo.
func TestScale(t *testing.T) {
	k := scale{3}
	x, y := k.down(1, 4)
	assert.InDelta(t, 0, x, 1e-12)
	assert.InDelta(t, 1, y, 1e-12)
	x, y = k.up(x, y)
	assert.InDelta(t, 1, x, 1e-12)
	assert.InDelta(t, 4, y, 1e-12)
	s := preview.Settings{Corners: &segment.Quad{{X: 1, Y: 1}, {X: 301, Y: 1}, {X: 301, Y: 151}, {X: 1, Y: 151}}, Grey: &light.Card{X: 4, Y: 7, R: 6}}
	before := *s.Corners
	was := s.Corners
	k.apply(&s)
	assert.Equal(t, segment.Quad{{}, {X: 100}, {X: 100, Y: 50}, {Y: 50}}, *s.Corners)
	assert.Equal(t, light.Card{X: 1, Y: 2, R: 2}, *s.Grey)
	assert.Equal(t, before, *was, "what was given stays")
	got := k.stroke(stroke{"tile", 6, []point{{4, 7}}})
	assert.Equal(t, segment.Stroke{Shows: segment.ShowsTile, Path: []segment.Dab{{Point: segment.Point{X: 1, Y: 2}, R: 2}}}, got)
}

// The working picture keeps to its size for all photos that are read, and a place
// comes back from it as it went there.
func TestWorkingSize(t *testing.T) {
	for _, c := range []struct {
		w, h   int
		factor float64
	}{{1200, 966, 1}, {4000, 3000, 2.45}, {8000, 6000, 4.9}, {30000, 4000, 7.75}, {1, 30000, 1}, {1500, 1334, 1}} {
		size := workingSize(c.w, c.h)
		assert.LessOrEqual(t, size[0]*size[1], workingPx)
		k := scaleOf(photoFacts{Width: c.w, Height: c.h})
		assert.InDelta(t, c.factor, k.factor, .01, "%d × %d", c.w, c.h)
		x, y := k.up(k.down(17, 4))
		assert.InDelta(t, 17, x, 1e-9)
		assert.InDelta(t, 4, y, 1e-9)
	}
}

// Words are quoted so that a shell reads them back; see the command's test of the zip.
func TestQuoted(t *testing.T) {
	for word, want := range map[string]string{"a.jpg": "a.jpg", "40,30": "40,30", "it's": `'it'\''s'`, "": "''", "a b": "'a b'", "$x": "'$x'", "#1": "'#1'", "~": "'~'"} {
		assert.Equal(t, want, quoted(word))
	}
	assert.Equal(t, "gapshade preview ./-x.png --bed white", commandLine("-x.png", []string{"--bed", "white"}))
}
