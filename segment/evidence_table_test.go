package segment_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"

	"github.com/stretchr/testify/require"

	"gapshade/segment"
	"gapshade/segment/score"
)

// What each kind of evidence is worth to the whole finder, per folder of layouts and on
// the scans: gap IoU, worst IoU, F1 at 2 px, count error, and how many were refused.
//
//	GAPSHADE_SCENES=folder[:folder…] GAPSHADE_REAL=folder go test ./segment -run Evidence -v
//
// The table in MODEL.md is this one's output. The dabs of the scripted person stand in
// dabs_test.go and are told one after the other.
func TestEvidenceTable(t *testing.T) {
	var text strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "pictures\tgiven\tIoU\tworst\tF1\tcount error\trefused")
	for _, dir := range dirs(t, "GAPSHADE_SCENES") {
		photos, err := filepath.Glob(filepath.Join(dir, "*/photo_*.jpg"))
		require.NoError(t, err)
		for _, given := range []string{"photo alone", "photo, bed found", "two photos"} {
			line(w, filepath.Base(dir), given, photos, func(path string) (known, *segment.Map, error) {
				bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
				k := scene(t, filepath.Dir(path), bed)
				opt := segment.Options{Panel: k.corners}
				switch given {
				case "photo alone":
					opt.WithholdBed()
				case "two photos":
					second := scene(t, filepath.Dir(path), otherBed(t, path))
					opt.Second = asSecond(retaken(t, second.pic, shaken(second.pic.W, second.pic.H), 1.05), k.pic)
				}
				m, err := finder(t).Find(t.Context(), k.pic, opt)
				return k, m, err
			})
		}
	}
	scans := folder(t, "GAPSHADE_REAL", "*_gap.png")
	for _, given := range []string{"photo alone", "photo, bed found"} {
		line(w, "scans", given, scans, func(path string) (known, *segment.Map, error) {
			k := scan(t, path)
			opt := segment.Options{Panel: k.corners}
			if given == "photo alone" {
				opt.WithholdBed()
			}
			m, err := finder(t).Find(t.Context(), k.pic, opt)
			return k, m, err
		})
	}
	w.Flush()
	t.Log("\n" + text.String())
}

// line scores one row of the table; scans whose masks miss joints don't count.
func line(w *tabwriter.Writer, pictures, given string, paths []string, find func(path string) (known, *segment.Map, error)) {
	a, worst, refused := new(average), 1., 0
	for _, path := range paths {
		k, m, err := find(path)
		switch {
		case incomplete[k.name]:
		case err != nil:
			refused++
		default:
			a.add(k, m.Gap, len(m.Tiles))
			worst = min(worst, score.IoU(k.panel, score.Gap(k.gap), score.Gap(m.Gap)))
		}
	}
	fmt.Fprintf(w, "%s\t%s\t%.3f\t%.3f\t%.3f\t%.3f\t%d of %d\n", pictures, given, a.iou/a.n, worst, a.f1/a.n, a.cnt/a.n, refused, int(a.n)+refused)
}

// otherBed is the bed of the other photo of a layout.
func otherBed(t *testing.T, path string) string {
	all, err := filepath.Glob(filepath.Join(filepath.Dir(path), "photo_*.jpg"))
	require.NoError(t, err)
	for _, p := range all {
		if p != path {
			return strings.TrimSuffix(strings.TrimPrefix(filepath.Base(p), "photo_"), ".jpg")
		}
	}
	t.Fatalf("%s has no other photo", path)
	return ""
}
