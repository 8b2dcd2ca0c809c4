package main

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/report"
)

// ran runs preview on the drawn layout and gives the folder and its report.
func ran(t *testing.T, args ...string) (string, report.Report) {
	t.Helper()
	folder := t.TempDir()
	photo, out := filepath.Join(folder, "layout.png"), filepath.Join(folder, "out")
	require.NoError(t, os.WriteFile(photo, drawnLayout(), 0o644))
	code, _, complained := call(t.Context(), append([]string{"preview", photo, "--out", out, "--shades", "mid-true", "--quiet"}, args...)...)
	require.Zero(t, code, complained)
	f, err := os.Open(filepath.Join(out, "report.json"))
	require.NoError(t, err)
	defer f.Close()
	r, err := report.Read(f, "report.json")
	require.NoError(t, err)
	return out, r
}

// The grout fills what the mask says, the rim included, and nothing else: the
// sum of gaps.png, at the panel's scale, times the depth. With corners the panel
// is larger than the tiles by a rim of 8 px on every side.
func TestGapAreaIsTheMasks(t *testing.T) {
	t.Parallel()
	out, r := ran(t, "--size", "288x240mm", "--corners", "32,26 328,26 328,274 32,274", "--thickness", "5mm")
	f, err := os.Open(filepath.Join(out, "gaps.png"))
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	sum, rim := 0, 0
	mask := img.(*image.Gray)
	for y := range drawnH {
		for x := range drawnW {
			v := int(mask.GrayAt(x, y).Y)
			sum += v
			if x < 38 || x > 321 || y < 32 || y > 267 {
				rim += v
			}
		}
	}
	assert.Greater(t, rim, sum/10, "the rim is part of it")
	mm2 := float64(sum) / 255 * 288 * 240 / (296 * 248)
	require.NotNil(t, r.Job)
	assert.InEpsilon(t, mm2*5/1e6, r.Job.JointLitres, 1e-3)
	assert.InEpsilon(t, mm2*5/1e6*1.58, r.Job.PowderKg.Net, 1e-3, "joints of 8 mm take sanded, 1.58 kg/L")
	assert.InDelta(t, r.Gaps.Share, r.Job.GapShare, 1e-5)
}

// A report that knows its size and one that is told it afterwards measure the
// same, but for the panel's own rim.
func TestSizeGivenAfterwards(t *testing.T) {
	t.Parallel()
	corners := "32,26 328,26 328,274 32,274"
	_, sized := ran(t, "--size", "288x240mm", "--corners", corners)
	_, unsized := ran(t, "--corners", corners)
	require.Nil(t, unsized.Job)
	require.NoError(t, unsized.Rescale(288, 240))
	assert.InDelta(t, *sized.Frame.MmPerPx, *unsized.Frame.MmPerPx, 1e-6)
	assert.InEpsilon(t, *sized.Gaps.AreaMm2, *unsized.Gaps.AreaMm2, 2e-3)
	assert.InEpsilon(t, sized.Gaps.WidthMm.P50, unsized.Gaps.WidthMm.P50, 2e-3)
	assert.InEpsilon(t, sized.Tiles.AreaMm2.P90, unsized.Tiles.AreaMm2.P90, 2e-3)
}

// A mask of another size, or none, is no mask.
func TestReadMask(t *testing.T) {
	folder := t.TempDir()
	assert.Nil(t, readMask(folder, 3, 2))
	img := image.NewGray(image.Rect(0, 0, 3, 2))
	img.Pix = []uint8{1, 2, 3, 4, 5, 6}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "gaps.png"), b.Bytes(), 0o644))
	assert.Equal(t, img.Pix, readMask(folder, 3, 2))
	assert.Nil(t, readMask(folder, 2, 3))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "gaps.png"), b.Bytes()[:60], 0o644))
	assert.Nil(t, readMask(folder, 3, 2))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "gaps.png"), []byte(strings.Repeat("x", 99)), 0o644))
	assert.Nil(t, readMask(folder, 3, 2))
}
