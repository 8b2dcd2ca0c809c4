package segment_test

import (
	"context"
	"fmt"
	"image"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	xdraw "golang.org/x/image/draw"

	"gapshade/colormath/imgdiff"
	"gapshade/segment"
	"gapshade/segment/score"
)

// The same photo at half, its own and twice its size must give the same gaps:
// IoU within .03 of each other, each against the truth of its own size. The
// photos are resized as a phone or a mail program does it, encoded and all.
func TestScoresAtOtherSizes(t *testing.T) {
	files := folder(t, "GAPSHADE_SCENES", "*/photo_*.jpg")
	f := finder(t)
	var sum [3]float64
	for _, path := range files {
		bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		k := scene(t, filepath.Dir(path), bed)
		line := k.name
		for i, size := range [...]float64{.5, 1, 2} {
			r := k.resized(t, path, size)
			m, err := f.Find(context.Background(), r.pic, segment.Options{Panel: r.corners})
			require.NoError(t, err, k.name)
			iou := score.IoU(r.panel, score.Gap(r.gap), score.Gap(m.Gap))
			sum[i] += iou / float64(len(files))
			line += fmt.Sprintf("  %.3f", iou)
		}
		t.Log(line)
	}
	t.Logf("mean %.3f", sum)
	assert.InDelta(t, sum[1], sum[0], .03)
	assert.InDelta(t, sum[1], sum[2], .03)
}

// resized is the scene at another size, with its truth.
func (k known) resized(t *testing.T, path string, size float64) known {
	if size == 1 {
		return k
	}
	w, h := int(float64(k.pic.W)*size+.5), int(float64(k.pic.H)*size+.5)
	scale := func(src image.Image, dst xdraw.Image) xdraw.Image {
		xdraw.CatmullRom.Scale(dst, dst.Bounds(), src, src.Bounds(), xdraw.Src, nil)
		return dst
	}
	box := image.Rect(0, 0, w, h)
	greys := func(pix []uint8) []uint8 {
		src := &image.Gray{Pix: pix, Stride: k.pic.W, Rect: image.Rect(0, 0, k.pic.W, k.pic.H)}
		return scale(src, image.NewGray(box)).(*image.Gray).Pix
	}
	panel := make([]uint8, len(k.panel))
	for i, in := range k.panel {
		if in {
			panel[i] = 255
		}
	}
	out := known{name: k.name, tiles: k.tiles, gap: greys(k.gap), corners: new(segment.Quad),
		pic: imgdiff.FromImage(scale(decode(t, path), image.NewRGBA(box)))}
	for _, p := range greys(panel) {
		out.panel = append(out.panel, p >= 128)
	}
	for i, c := range k.corners {
		out.corners[i] = segment.Point{X: (c.X+.5)*size - .5, Y: (c.Y+.5)*size - .5}
	}
	return out
}
