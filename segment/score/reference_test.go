package score

import (
	"encoding/csv"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const labels = "../../testdata/labels"

func readMap(t *testing.T, name string) (w, h int, label []uint16) {
	f, err := os.Open(filepath.Join(labels, name))
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	g, ok := img.(*image.Gray16)
	require.True(t, ok, "%s is not 16-bit grey", name)
	for i := 0; i < len(g.Pix); i += 2 {
		label = append(label, uint16(g.Pix[i])<<8|uint16(g.Pix[i+1]))
	}
	return g.Rect.Dx(), g.Rect.Dy(), label
}

func largest(label []uint16) (n float64) {
	for _, l := range label {
		n = max(n, float64(l))
	}
	return n
}

// Oracle: scikit-image 0.19.3, OpenCV 4.6.0 and NumPy on the same maps; see
// testdata/labels. The figures are sums of some ten thousand terms printed to
// 15 digits, so 1e-9 leaves room for their order and nothing else.
func TestFiguresOfOtherImplementations(t *testing.T) {
	f, err := os.Open(filepath.Join(labels, "figures.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 7)
	for _, row := range rows[1:] {
		t.Run(row[0]+"/"+row[1], func(t *testing.T) {
			want := map[string]float64{}
			for i, name := range rows[0][2:] {
				want[name], err = strconv.ParseFloat(row[2+i], 64)
				require.NoError(t, err)
			}
			for name, got := range figures(t, row[0], row[1]) {
				require.Contains(t, want, name)
				assert.InDelta(t, want[name], got, 1e-9, name)
				delete(want, name)
			}
			assert.Empty(t, want, "columns that nobody computed")
		})
	}
}

func figures(t *testing.T, scene, kind string) map[string]float64 {
	w, h, truth := readMap(t, "truth-"+scene+".png")
	_, _, found := readMap(t, kind+"-"+scene+".png")
	splits, merges := Variation(truth, found)
	panel, gapT, gapF := make([]bool, w*h), make([]bool, w*h), make([]bool, w*h)
	for i := range panel {
		x, y := i%w, i/w
		panel[i] = x >= 5 && x < 110 && y >= 6 && y < 80
		gapT[i], gapF[i] = truth[i] == 0, found[i] == 0
	}
	return map[string]float64{
		"truth_tiles": largest(truth), "found_tiles": largest(found),
		"splits": splits, "merges": merges, "rand_error": RandError(truth, found),
		"gap_iou":     IoU(panel, gapT, gapF),
		"boundary_f1": BoundaryF1(w, h, panel, gapT, gapF, 2),
		"tiles_f1":    TilesF1(truth, found),
	}
}
