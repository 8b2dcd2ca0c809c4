package imgdiff

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"gapshade/colormath"
)

// Limits say what a test lets pass. The zero value lets nothing pass: every
// pixel must be the same.
type Limits struct {
	Threshold float64 // CIEDE2000 above which a pixel counts
	Over      int     // pixels that may count
	Window    int     // side of the window, pixels; 0 means 8
	InWindow  int     // pixels that may count within one window; 0 means as many as Over
	Worst     float64 // the most by which any pixel may differ; 0 means that Threshold and Over decide
}

// Check fails the test when got differs from want by more than the limits, and
// then leaves got.png, want.png and diff.png in the test's artifact folder
// (kept by "go test -artifacts"). It tells whether the pictures passed.
func Check(t testing.TB, got, want *colormath.Picture, l Limits) bool {
	t.Helper()
	if l.Window == 0 {
		l.Window = 8
	}
	d, err := Compare(got, want, l.Threshold, l.Window)
	if err == nil {
		err = l.judge(d)
	}
	if err == nil {
		return true
	}
	t.Errorf("%v; pictures in %s", err, keep(t, got, want, d))
	return false
}

// judge returns an error with the whole finding when a limit is passed.
func (l Limits) judge(d Diff) error {
	switch {
	case d.Over > l.Over,
		l.InWindow > 0 && d.InWindow > l.InWindow,
		l.Worst > 0 && d.Worst > l.Worst:
		return errors.New(d.String())
	}
	return nil
}

// keep writes the pictures and returns the folder; a picture that cannot be
// written is logged and does not hide the finding.
func keep(t testing.TB, got, want *colormath.Picture, d Diff) string {
	t.Helper()
	dir := t.ArtifactDir()
	images := map[string]image.Image{"got.png": ToImage(got), "want.png": ToImage(want)}
	if d.DE != nil {
		images["diff.png"] = d.Image()
	}
	for name, m := range images {
		if err := writePNG(filepath.Join(dir, name), m); err != nil {
			t.Log(err)
		}
	}
	return dir
}

// Golden compares an image with the PNG at path. With update it writes the file
// instead, passes, and logs what has changed; a test package hands its own
// -update flag in. A missing file fails with the way to make it.
func Golden(t testing.TB, path string, got image.Image, l Limits, update bool) {
	t.Helper()
	want, err := readPNG(path)
	switch {
	case update:
		rewrite(t, path, got, want)
	case errors.Is(err, fs.ErrNotExist):
		t.Errorf("no golden picture %s: look at the result and run the test with -update", path)
	case err != nil:
		t.Error(err)
	default:
		Check(t, FromImage(got), FromImage(want), l)
	}
}

// rewrite stores the image unless the file already holds the same pixels; old
// is nil when there is no readable file.
func rewrite(t testing.TB, path string, got, old image.Image) {
	t.Helper()
	change := "new"
	if old != nil {
		d, err := Compare(FromImage(got), FromImage(old), 0, 8)
		if err == nil && d.Worst == 0 {
			return
		}
		change = d.String()
		if err != nil {
			change = err.Error()
		}
	}
	if err := writePNG(path, got); err != nil {
		t.Error(err)
		return
	}
	t.Logf("%s rewritten: %s", path, change)
}

func readPNG(path string) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		return nil, fmt.Errorf("%s: not readable as PNG: %w", path, err)
	}
	return m, nil
}

func writePNG(path string, m image.Image) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(png.Encode(f, m), f.Close())
}
