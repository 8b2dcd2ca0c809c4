package imgdiff

import (
	"image"
	"image/color"
	"os"
	"path/filepath"
	"testing"

	"gapshade/colormath"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// grey is a picture of mid grey with the given pixels at another lightness.
func grey(w, h int, marks map[image.Point]float64) *colormath.Picture {
	p := colormath.NewPicture(w, h)
	for y := range h {
		for x := range w {
			c := colormath.Lab{L: 50}
			if l, ok := marks[image.Pt(x, y)]; ok {
				c.L = l
			}
			p.Set(x, y, c.LinearRGB())
		}
	}
	return p
}

func TestSamePicturesHaveNoDifference(t *testing.T) {
	d, err := Compare(grey(7, 5, nil), grey(7, 5, nil), 0, 3)
	require.NoError(t, err)
	assert.Zero(t, d.Over)
	assert.Zero(t, d.Worst)
	assert.Zero(t, d.InWindow)
	assert.Equal(t, "no difference", d.String())
}

// Three marks close together and one far off, by hand: four pixels in all,
// three in the fullest 2 × 2 window, the worst the one at L* 80. Its size is
// the row 80/50 of the table of contrasts, 24.6787; float32 light leaves 1e-3.
func TestCountsByHand(t *testing.T) {
	marks := map[image.Point]float64{{X: 1, Y: 1}: 55, {X: 2, Y: 1}: 55, {X: 2, Y: 2}: 80, {X: 8, Y: 6}: 55, {X: 5, Y: 0}: 50.5}
	d, err := Compare(grey(10, 8, marks), grey(10, 8, nil), 1, 2)
	require.NoError(t, err)
	assert.Equal(t, 4, d.Over, "the half step at 5, 0 is below the threshold")
	assert.Equal(t, 3, d.InWindow)
	assert.Equal(t, image.Rect(1, 1, 3, 3), d.WorstWindow)
	assert.Equal(t, image.Pt(2, 2), d.WorstAt)
	assert.InDelta(t, 24.6787, d.Worst, 1e-3)
	m := d.Image()
	assert.Equal(t, color.NRGBA{A: 255}, m.NRGBAAt(0, 0))
	assert.Equal(t, color.NRGBA{R: 255, A: 255}, m.NRGBAAt(2, 2))
	assert.Equal(t, m.NRGBAAt(5, 0).R, m.NRGBAAt(5, 0).G, "grey below the threshold")
}

// Counting in every window, one by one.
func TestFullestWindowAgainstCounting(t *testing.T) {
	const w, h = 11, 9
	v := make([]int, w*h)
	for i := range v {
		v[i] = i * i % 7 % 2
	}
	for _, n := range []int{1, 2, 3, 5, 9, 20} {
		best := 0
		for y := 0; y+min(n, h) <= h; y++ {
			for x := 0; x+min(n, w) <= w; x++ {
				sum := 0
				for j := range min(n, h) {
					for i := range min(n, w) {
						sum += v[(y+j)*w+x+i]
					}
				}
				best = max(best, sum)
			}
		}
		_, got := fullestWindow(v, w, h, n)
		assert.Equal(t, best, got, "window %d", n)
	}
	where, _ := fullestWindow([]int{0, 1, 0, 1}, 4, 1, 1)
	assert.Equal(t, image.Rect(1, 0, 2, 1), where, "the first of two equals")
}

func TestSizesMustAgree(t *testing.T) {
	_, err := Compare(grey(4, 3, nil), grey(3, 4, nil), 1, 2)
	assert.ErrorContains(t, err, "got 4 × 3, want 3 × 4")
}

// All codes through an image and back.
func TestImageRoundTrip(t *testing.T) {
	m := image.NewNRGBA(image.Rect(3, 2, 259, 3)) // not at the origin
	for i := range 256 {
		m.SetNRGBA(3+i, 2, color.NRGBA{uint8(i), uint8(255 - i), 77, 255})
	}
	assert.Equal(t, m.Pix, ToImage(FromImage(m)).Pix)
}

// recorder stands in for a test that is expected to fail.
type recorder struct {
	testing.TB
	dir    string
	failed bool
	logged int
}

func (r *recorder) Helper()               {}
func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) Error(...any)          { r.failed = true }
func (r *recorder) Logf(string, ...any)   { r.logged++ }
func (r *recorder) ArtifactDir() string   { return r.dir }

func TestCheckLimits(t *testing.T) {
	got := grey(10, 8, map[image.Point]float64{{X: 1, Y: 1}: 55, {X: 2, Y: 1}: 55, {X: 9, Y: 7}: 70})
	want := grey(10, 8, nil)
	for _, c := range []struct {
		limits Limits
		pass   bool
	}{
		{Limits{}, false},
		{Limits{Threshold: 1, Over: 3}, true},
		{Limits{Threshold: 1, Over: 2}, false},
		{Limits{Threshold: 1, Over: 3, Window: 2, InWindow: 1}, false},
		{Limits{Threshold: 1, Over: 3, Window: 2, InWindow: 2}, true},
		{Limits{Threshold: 1, Over: 3, Worst: 10}, false},
		{Limits{Threshold: 30}, true},
	} {
		r := &recorder{TB: t, dir: t.TempDir()}
		assert.Equal(t, c.pass, Check(r, got, want, c.limits), "%+v", c.limits)
		assert.Equal(t, !c.pass, r.failed)
		for _, name := range []string{"got.png", "want.png", "diff.png"} {
			_, err := os.Stat(filepath.Join(r.dir, name))
			assert.Equal(t, c.pass, os.IsNotExist(err), "%s is written for a failure only", name)
		}
	}
}

func TestGolden(t *testing.T) {
	path := filepath.Join(t.TempDir(), "golden.png")
	a, b := ToImage(grey(4, 4, nil)), ToImage(grey(4, 4, map[image.Point]float64{{X: 0, Y: 0}: 90}))
	run := func(m image.Image, update bool) *recorder {
		r := &recorder{TB: t, dir: t.TempDir()}
		Golden(r, path, m, Limits{}, update)
		return r
	}
	assert.True(t, run(a, false).failed, "no file yet")
	first := run(a, true)
	assert.False(t, first.failed)
	assert.Equal(t, 1, first.logged)
	assert.False(t, run(a, false).failed)
	assert.True(t, run(b, false).failed)
	assert.Zero(t, run(a, true).logged, "nothing changed, nothing said")
	changed := run(b, true)
	assert.False(t, changed.failed, "an update passes")
	assert.Equal(t, 1, changed.logged)
	assert.False(t, run(b, false).failed)
	require.NoError(t, os.WriteFile(path, []byte("no picture"), 0o666))
	assert.True(t, run(b, false).failed)
}
