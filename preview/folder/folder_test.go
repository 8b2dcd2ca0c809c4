package folder

import (
	"bytes"
	"context"
	"errors"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
	"gapshade/preview/photo"
)

// proof is the bundled sample under two shades.
func proof(t *testing.T, change func(s *preview.Settings)) *preview.Proof {
	t.Helper()
	ph, err := photo.OpenFile(t.Context(), filepath.Join("..", "..", "examples", "lemons", "photo.jpg"), photo.Limits{Lean: true})
	require.NoError(t, err)
	s := preview.Default()
	s.Shades = s.Shades[:2]
	change(&s)
	p, err := preview.Make(t.Context(), ph.Smaller(300_000), s)
	require.NoError(t, err)
	return p
}

// written is all files of a run.
func written(t *testing.T, p *preview.Proof) map[string][]byte {
	t.Helper()
	run, err := New(p)
	require.NoError(t, err)
	var mu sync.Mutex
	out, drawn := map[string][]byte{}, []string{}
	require.NoError(t, run.Write(t.Context(), func(name string, fill func(io.Writer) error) error {
		var b bytes.Buffer
		err := fill(&b)
		mu.Lock()
		defer mu.Unlock()
		assert.NotContains(t, out, name, "written once")
		out[name] = b.Bytes()
		return err
	}, func(id string) {
		mu.Lock()
		defer mu.Unlock()
		drawn = append(drawn, id)
	}))
	assert.ElementsMatch(t, []string{p.Settings.Shades[0].ID, p.Settings.Shades[1].ID}, drawn)
	return out
}

// A run gives the files that were named before it, the job sheet only with a size and
// the calendar only with a start; and the same bytes every time.
func TestRunGivesTheFilesOfItsNames(t *testing.T) {
	plain := proof(t, func(*preview.Settings) {})
	files := written(t, plain)
	want := slices.DeleteFunc(Names(plain.Settings.Shades), func(n string) bool { return slices.Contains(JobNames(), n) })
	assert.ElementsMatch(t, want, slices.Collect(maps.Keys(files)))
	assert.Equal(t, files, written(t, plain))

	sized := proof(t, func(s *preview.Settings) {
		s.WidthMm, s.HeightMm = 383, 303
		s.Start = time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)
	})
	assert.ElementsMatch(t, Names(sized.Settings.Shades), slices.Collect(maps.Keys(written(t, sized))))
}

// A sink that fails, and a run that is given up, end with that error.
func TestRunStops(t *testing.T) {
	run, err := New(proof(t, func(*preview.Settings) {}))
	require.NoError(t, err)
	full := errors.New("no room")
	err = run.Write(t.Context(), func(name string, fill func(io.Writer) error) error {
		if name == "report.json" {
			return full
		}
		return fill(io.Discard)
	}, func(string) {})
	assert.ErrorIs(t, err, full)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	assert.ErrorIs(t, run.Write(ctx, func(string, func(io.Writer) error) error { return nil }, func(string) {}), context.Canceled)
}
