package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/quantity"
	"gapshade/preview/said"
	"gapshade/segment"
)

// typed reads a command line of preview.
func typed(t *testing.T, args ...string) (*words, preview.Settings, error) {
	t.Helper()
	w, f := &words{}, pflag.NewFlagSet("preview", pflag.ContinueOnError)
	w.register(f)
	require.NoError(t, f.Parse(args))
	s, err := w.Settings()
	return w, s, err
}

// Every flag reaches its setting; lengths by hand, 15 in = 381 mm and 11 3/4 in =
// 298.45 mm.
func TestFlagsReachTheSettings(t *testing.T) {
	_, s, err := typed(t, "--size", "15x11 3/4in", "--bed", "grey", "--corners", "1,2 300,4 305,200 6,207", "--gap", "1,5mm",
		"--shades", "near-black,mid-warm", "--aim", "blend", "--distance", "50cm, 3 m",
		"--state", "damp", "--recess", "1mm", "--plain", "--grain-seed", "7", "--clear", "--thickness", "1/4in", "--title", "A & B", "--strict", "--threads", "3")
	require.NoError(t, err)
	ids := []string{}
	for _, sh := range s.Shades {
		ids = append(ids, sh.ID)
	}
	assert.Equal(t, []string{"near-black", "mid-warm"}, ids)
	s.Shades = nil
	assert.InDelta(t, 381, s.WidthMm, 1e-9)
	assert.InDelta(t, 298.45, s.HeightMm, 1e-9)
	s.WidthMm, s.HeightMm = 0, 0
	job := quantity.Default()
	job.ThicknessMm = 6.35
	assert.Equal(t, preview.Settings{
		Corners: &segment.Quad{{X: 1, Y: 2}, {X: 300, Y: 4}, {X: 305, Y: 200}, {X: 6, Y: 207}},
		Bed:     preview.Bed{Known: true, Lab: colormath.Lab{L: 49.5}},
		GapMm:   1.5, Aim: preview.Blend, DistancesM: []float64{.5, 3}, Strict: true, Job: job,
		Joint: preview.Joint{State: grout.Damp, RecessMm: 1, Plain: true, Seed: 7, Clear: true}, Title: "A & B", Threads: 3,
	}, s)
}

// The shoulder has a unit like every length; marks are a file that is opened with the
// photo, so the settings don't hold them yet. 1/8 in = 3.175 mm.
func TestShoulderAndMarks(t *testing.T) {
	w, s, err := typed(t, "--shoulder", "1/8in", "--marks", "my marks.png")
	require.NoError(t, err)
	assert.InDelta(t, 3.175, s.ShoulderMm, 1e-9)
	assert.Equal(t, "my marks.png", w.marks)
	assert.Nil(t, s.Marks)
	_, _, err = typed(t, "--shoulder", "2")
	assert.Error(t, err)
}

// Nothing typed is a plain run.
func TestNoFlags(t *testing.T) {
	_, s, err := typed(t)
	require.NoError(t, err)
	assert.Equal(t, preview.Default(), s)
}

// Every flag about the job reaches the plan's input; 5/16 in = 7.9375 mm and
// 70 °F = 21.1 °C by hand.
func TestJobFlagsReachTheInput(t *testing.T) {
	_, s, err := typed(t, "--thickness", "4mm", "--edge", "5/16in", "--allowance", "12.5%", "--variation", "0.5mm", "--material", "glass",
		"--place", "outdoor", "--kind", "sanded", "--temperature", "70F", "--pot-life", "1h", "--clock", "touch", "--start", "2026-05-04T10:00", "--units", "us")
	require.NoError(t, err)
	assert.InDelta(t, 21.111, s.Job.TemperatureC, 1e-3)
	s.Job.TemperatureC = 0
	assert.Equal(t, quantity.Input{ThicknessMm: 4, EdgeMm: 7.9375, Allowance: .125, SizeVariationMm: .5, NarrowShare: -1, Material: quantity.Glass,
		Place: quantity.Outdoor, Kind: quantity.Sanded, PotLifeMin: 60, Clock: quantity.ByTouch, Units: quantity.US}, s.Job)
	assert.Equal(t, time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC), s.Start)
}

// What was said before stays, but for what is typed; nothing can be typed too.
func TestJobFlagsChangeOnlyWhatIsTyped(t *testing.T) {
	in, start := quantity.Default(), time.Date(2026, 5, 4, 10, 0, 0, 0, time.UTC)
	in.EdgeMm, in.Clock, in.Material = 8, quantity.ByTouch, quantity.Stone
	want, at := in, start
	require.NoError(t, (&said.Job{}).Apply(&in, &start))
	assert.Equal(t, want, in)
	require.NoError(t, (&said.Job{Edge: "none", Clock: "auto", Place: "wet"}).Apply(&in, &start))
	want.EdgeMm, want.Clock, want.Place = 0, "", quantity.Wet
	assert.Equal(t, want, in)
	assert.Equal(t, at, start)
}

// A shades file is told from a list by its name, in any case of letters.
func TestShadesFlagTakesAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "Own.CSV")
	require.NoError(t, os.WriteFile(path, []byte("id,hex\nplain,#808080\n"), 0o644))
	_, s, err := typed(t, "--shades", path)
	require.NoError(t, err)
	require.Len(t, s.Shades, 1)
	assert.Equal(t, "plain", s.Shades[0].ID)
}

// Where the outputs go when nobody said: beside the photo, by its name.
func TestDefaultFolder(t *testing.T) {
	for photo, want := range map[string]string{
		"layout.jpg":         "layout-grout",
		"a/b/layout.jpg":     "a/b/layout-grout",
		"./my layout.v2.png": "my layout.v2-grout",
		"layout":             "layout-grout",
		"../x/IMG.0001.HEIC": "../x/IMG.0001-grout",
	} {
		assert.Equal(t, filepath.FromSlash(want), (&words{}).folder(filepath.FromSlash(photo)), photo)
	}
	assert.Equal(t, "elsewhere", (&words{out: "elsewhere"}).folder("layout.jpg"))
}
