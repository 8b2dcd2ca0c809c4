package segment_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath/imgdiff"
	"gapshade/segment"
	"gapshade/segment/score"
)

// One layout is always there. JPEG is fine here: the bars are floors, not a
// golden. They are what a network of 62,000 weights, about half of ours, reached
// on five such layouts (gap IoU .884, F1 .980, count error .005), less a margin.
func TestFindOnAPathTracedLayout(t *testing.T) {
	k := scene(t, "../testdata/scenes/grid-whites", "white")
	m, err := finder(t).Find(context.Background(), k.pic, segment.Options{Panel: k.corners})
	require.NoError(t, err)
	gt, gf := score.Gap(k.gap), score.Gap(m.Gap)
	assert.GreaterOrEqual(t, score.IoU(k.panel, gt, gf), .87)
	assert.GreaterOrEqual(t, score.BoundaryF1(m.W, m.H, k.panel, gt, gf, 2), .975)
	assert.LessOrEqual(t, score.CountError(k.tiles, len(m.Tiles)), .01)
}

// The same photo without corners: the panel has to be found. Its rim is open,
// half a joint wide, and where that ends nobody can see: hence .95.
func TestFindThePanelOfAPathTracedLayout(t *testing.T) {
	k := scene(t, "../testdata/scenes/grid-whites", "white")
	m, err := finder(t).Find(context.Background(), k.pic, segment.Options{})
	require.NoError(t, err)
	assert.False(t, m.WholePicture)
	assert.GreaterOrEqual(t, score.IoU(nil, k.panel, inside(m)), .95)
	assert.LessOrEqual(t, score.CountError(k.tiles, len(m.Tiles)), .02)
}

// A folder of layouts with exact truth, one folder each, as in testdata/scenes.
// Prints a table and fails on nothing but errors: the bars are above.
func TestScoresOnScenes(t *testing.T) {
	files := folder(t, "GAPSHADE_SCENES", "*/photo_*.jpg")
	table(t, files, func(path string) known {
		bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		return scene(t, filepath.Dir(path), bed)
	})
}

// A folder of scans, NAME.jpg and NAME_gap.png (white = gap). Their masks are
// uncertain by 1 to 2 px: look at F1 first.
func TestScoresOnScans(t *testing.T) {
	table(t, folder(t, "GAPSHADE_REAL", "*_gap.png"), func(path string) known { return scan(t, path) })
}

// scan reads a scan with the mask beside it; all of the picture is panel.
func scan(t *testing.T, path string) known {
	name := strings.TrimSuffix(path, "_gap.png")
	pic := imgdiff.FromImage(decode(t, name+".jpg"))
	x, y := float64(pic.W-1), float64(pic.H-1)
	k := known{name: filepath.Base(name), pic: pic, gap: grey(t, path),
		corners: &segment.Quad{{X: 0, Y: 0}, {X: x, Y: 0}, {X: x, Y: y}, {X: 0, Y: y}}}
	k.ids, k.tiles = score.Tiles(pic.W, pic.H, nil, score.Gap(k.gap), score.LeastTile(pic.W, pic.H))
	return k
}

// table scores every picture twice, with the corners given and without, when
// only the panel is looked at.
func table(t *testing.T, files []string, open func(path string) known) {
	var text, refused strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "picture\tiou\tf1\ttiles\tcnt\tpq1\tcov\tarea\tsplits\tmerges\trand\tconf\tsec\tpan\t")
	f := finder(t)
	for _, path := range files {
		k := open(path)
		start := time.Now()
		m, err := f.Find(context.Background(), k.pic, segment.Options{Panel: k.corners})
		sec := time.Since(start).Seconds()
		if err != nil {
			fmt.Fprintf(&refused, "%s: %v\n", k.name, err)
			assert.ErrorAs(t, err, new(*segment.NoGapsError))
			continue
		}
		free, err := f.Find(context.Background(), k.pic, segment.Options{})
		fmt.Fprintf(w, "%s\t%s\t%.2f\t%s\t\n", k.name, scores(k, m), sec, panelScore(k, free, err))
	}
	w.Flush()
	t.Log("\n" + text.String() + refused.String())
}

func scores(k known, m *segment.Map) string {
	gt, gf := score.Gap(k.gap), score.Gap(m.Gap)
	splits, merges := score.Variation(k.ids, m.Label)
	return fmt.Sprintf("%.3f\t%.3f\t%d\t%.3f\t%.3f\t%.3f\t%.3f\t%.3f\t%.3f\t%.3f\t%.2f",
		score.IoU(k.panel, gt, gf), score.BoundaryF1(m.W, m.H, k.panel, gt, gf, 2),
		len(m.Tiles), score.CountError(k.tiles, len(m.Tiles)), score.TilesF1(k.ids, m.Label),
		score.CoverageError(k.panel, k.gap, m.Gap), score.AreaError(k.panel, k.gap, m.Gap),
		splits, merges, score.RandError(k.ids, m.Label), m.Confidence)
}

// panelScore is the IoU of the panel found without a hint.
func panelScore(k known, m *segment.Map, err error) string {
	if err != nil {
		return "none"
	}
	panel := k.panel
	if panel == nil {
		panel = make([]bool, len(m.Gap))
		for i := range panel {
			panel[i] = true
		}
	}
	word := ""
	if m.WholePicture {
		word = " whole"
	}
	return fmt.Sprintf("%.3f%s", score.IoU(nil, panel, inside(m)), word)
}

func inside(m *segment.Map) []bool {
	in := make([]bool, m.W*m.H)
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			in[s.Y*m.W+x] = true
		}
	}
	return in
}

func finder(t *testing.T) *segment.Finder {
	f, err := segment.NewFinder()
	require.NoError(t, err)
	return f
}

// folders is folder for several folders, parted as in a search path.
func folders(t *testing.T, variable, pattern string) (files []string) {
	for _, dir := range dirs(t, variable) {
		more, err := filepath.Glob(filepath.Join(dir, pattern))
		require.NoError(t, err)
		files = append(files, more...)
	}
	return files
}

// dirs are the folders that a variable names, parted as in a search path; without any the
// test is skipped.
func dirs(t *testing.T, variable string) []string {
	folder(t, variable, "*")
	return filepath.SplitList(os.Getenv(variable))
}

// folder lists the pictures in the folder that a variable names, and skips the
// test where there is none.
func folder(t *testing.T, variable, pattern string) []string {
	dir, _, _ := strings.Cut(os.Getenv(variable), string(filepath.ListSeparator))
	if _, err := os.Stat(dir); dir == "" || errors.Is(err, os.ErrNotExist) {
		t.Skip("set " + variable + " to a folder of pictures with their truth")
	}
	files, err := filepath.Glob(filepath.Join(dir, pattern))
	require.NoError(t, err)
	require.NotEmpty(t, files, "no %s in %s", pattern, dir)
	return files
}
