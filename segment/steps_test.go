package segment_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"

	"github.com/stretchr/testify/assert"

	"gapshade/segment"
	"gapshade/segment/score"
)

// What each step after the network is worth, photo by photo: gap IoU / F1 / count error
// if that step were the last one. Nothing after the network may make it worse.
//
//	GAPSHADE_SCENES=folder[:folder…] go test ./segment -run Steps -v
func TestStepsAfterTheNetwork(t *testing.T) {
	var text strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	var steps []string
	all := map[string]*average{}
	for _, path := range folders(t, "GAPSHADE_SCENES", "*/photo_*.jpg") {
		bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		k := scene(t, filepath.Dir(path), bed)
		row := k.name
		opt := segment.Options{Panel: k.corners}
		opt.Watch(func(step string, gap []uint8) {
			if !slices.Contains(steps, step) {
				steps = append(steps, step)
				all[step] = new(average)
			}
			tiles := pieces(k, gap)
			all[step].add(k, gap, tiles)
			row += fmt.Sprintf("\t%.3f / %.3f / %.3f", score.IoU(k.panel, score.Gap(k.gap), score.Gap(gap)),
				score.BoundaryF1(k.pic.W, k.pic.H, k.panel, score.Gap(k.gap), score.Gap(gap), 2), score.CountError(k.tiles, tiles))
		})
		if _, err := finder(t).Find(t.Context(), k.pic, opt); err != nil {
			row += "\t" + err.Error()
			assert.ErrorAs(t, err, new(*segment.NoGapsError))
		}
		fmt.Fprintln(w, row)
	}
	mean := "mean"
	for _, s := range steps {
		a := all[s]
		mean += fmt.Sprintf("\t%.3f / %.3f / %.3f", a.iou/a.n, a.f1/a.n, a.cnt/a.n)
	}
	fmt.Fprintln(w, mean)
	w.Flush()
	t.Log("\nphoto\t" + strings.Join(steps, "\t") + "\n" + text.String())
}
