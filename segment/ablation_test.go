package segment_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
	"gapshade/segment/net"
	"gapshade/segment/score"
)

// What each part of the finder is worth, on layouts and scans with their truth:
//
//	GAPSHADE_SCENES=folder GAPSHADE_REAL=folder go test ./segment -run Ablation -v
//
// The table in MODEL.md is this one's output.
func TestAblation(t *testing.T) {
	scenes, scans := folder(t, "GAPSHADE_SCENES", "*/photo_*.jpg"), folder(t, "GAPSHADE_REAL", "*_gap.png")
	ways := []struct {
		name string
		gap  func(t *testing.T, k known) (gap []uint8, tiles int)
	}{
		{"colour alone: distance from the bed, cut by Otsu", colourAlone},
		{"network alone: own size, one pass, no other step", networkAlone},
		{"both: the finder", bothTogether},
	}
	var text strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "way\tlayouts IoU\tF1\tcnt\tscans IoU\tF1\t")
	for _, way := range ways {
		a, b := new(average), new(average)
		for _, path := range scenes {
			bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
			k := scene(t, filepath.Dir(path), bed)
			gap, tiles := way.gap(t, k)
			a.add(k, gap, tiles)
		}
		for _, path := range scans {
			if k := scan(t, path); !incomplete[k.name] {
				gap, tiles := way.gap(t, k)
				b.add(k, gap, tiles)
			}
		}
		fmt.Fprintf(w, "%s\t%.3f\t%.3f\t%.3f\t%.3f\t%.3f\t\n", way.name, a.iou/a.n, a.f1/a.n, a.cnt/a.n, b.iou/b.n, b.f1/b.n)
	}
	a := new(average)
	for _, path := range scenes {
		dir, bed := filepath.Dir(path), strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		for _, other := range append(otherBeds(t, dir), "white") {
			if other == bed {
				continue
			}
			k, second := scene(t, dir, bed), scene(t, dir, other)
			shot := retaken(t, second.pic, shaken(second.pic.W, second.pic.H), 1.05)
			m, err := finder(t).Find(t.Context(), k.pic, segment.Options{Panel: k.corners, Second: asSecond(shot, k.pic)})
			require.NoError(t, err, k.name)
			a.add(k, m.Gap, len(m.Tiles))
		}
	}
	fmt.Fprintf(w, "two photos: the finder and the change of paper\t%.3f\t%.3f\t%.3f\t\t\t\n", a.iou/a.n, a.f1/a.n, a.cnt/a.n)
	w.Flush()
	t.Log("\n" + text.String())
}

// incomplete are the scans whose masks miss joints.
var incomplete = map[string]bool{"setts_fan": true, "stones_round": true, "cobble_moss_brown": true}

// average sums scores up.
type average struct{ n, iou, f1, cnt float64 }

func (a *average) add(k known, gap []uint8, tiles int) {
	w, h := k.pic.W, k.pic.H
	truth, found := score.Gap(k.gap), score.Gap(gap)
	a.n++
	a.iou += score.IoU(k.panel, truth, found)
	a.f1 += score.BoundaryF1(w, h, k.panel, truth, found, 2)
	a.cnt += score.CountError(k.tiles, tiles)
}

func bothTogether(t *testing.T, k known) ([]uint8, int) {
	m, err := finder(t).Find(context.Background(), k.pic, segment.Options{Panel: k.corners})
	require.NoError(t, err, k.name)
	return m.Gap, len(m.Tiles)
}

func networkAlone(t *testing.T, k known) ([]uint8, int) {
	n, err := net.Load()
	require.NoError(t, err)
	w, h := k.pic.W, k.pic.H
	rgb := make([]float32, 3*w*h)
	for i := range w * h {
		for c := range 3 {
			rgb[c*w*h+i] = float32(colormath.Encode8(k.pic.Pix[3*i+c])) / 255
		}
	}
	gap := make([]uint8, w*h)
	for i, tile := range n.Tiles(net.Input{W: w, H: h, RGB: rgb}, 0) {
		gap[i] = uint8(255*(1-tile) + .5)
	}
	return gap, pieces(k, gap)
}

// pieces counts what the mask alone parts.
func pieces(k known, gap []uint8) int {
	w, h := k.pic.W, k.pic.H
	_, n := score.Tiles(w, h, k.panel, score.Gap(gap), score.LeastTile(w, h))
	return n
}

// colourAlone takes the colour of the bed from a strip just outside the panel (on
// scans, which have none, the darkest twentieth stands for it), and whatever is
// nearer to it than Otsu's cut is gap.
func colourAlone(t *testing.T, k known) ([]uint8, int) {
	w, h := k.pic.W, k.pic.H
	lab := make([]colormath.Lab, w*h)
	for i := range lab {
		lab[i] = k.pic.At(i%w, i/w).Lab()
	}
	bed := bedColour(k, lab)
	dist := make([]float64, w*h)
	for i, c := range lab {
		dist[i] = colormath.HyAB(c, bed)
	}
	cut := otsu(dist, k.panel)
	gap := make([]uint8, w*h)
	for i, d := range dist {
		if d < cut {
			gap[i] = 255
		}
	}
	return gap, pieces(k, gap)
}

// bedColour is the mean over a strip of 8 px outside the panel.
func bedColour(k known, lab []colormath.Lab) colormath.Lab {
	var sum colormath.Lab
	n := 0.
	add := func(c colormath.Lab) { sum.L, sum.A, sum.B, n = sum.L+c.L, sum.A+c.A, sum.B+c.B, n+1 }
	if k.panel == nil {
		light := make([]float64, len(lab))
		for i, c := range lab {
			light[i] = c.L
		}
		dark := colormath.SpreadOf(light).P10
		for _, c := range lab {
			if c.L <= dark {
				add(c)
			}
		}
	} else {
		const strip = 8
		w, h := k.pic.W, k.pic.H
		for y := strip; y < h-strip; y++ {
			for x := strip; x < w-strip; x++ {
				i := y*w + x
				if !k.panel[i] && (k.panel[i-strip] || k.panel[i+strip] || k.panel[i-strip*w] || k.panel[i+strip*w]) {
					add(lab[i])
				}
			}
		}
	}
	return colormath.Lab{L: sum.L / n, A: sum.A / n, B: sum.B / n}
}

// otsu is the cut that parts the values into the two classes furthest apart.
//
// Otsu, "A threshold selection method from gray-level histograms", IEEE Trans.
// SMC 9 (1979) 62–66.
func otsu(v []float64, panel []bool) float64 {
	const bins = 256
	var hist [bins]float64
	total, sum := 0., 0.
	for i, d := range v {
		if panel == nil || panel[i] {
			b := min(int(d), bins-1)
			hist[b]++
			total, sum = total+1, sum+float64(b)
		}
	}
	best, cut := -1., 0
	below, belowSum := 0., 0.
	for b, n := range hist {
		below, belowSum = below+n, belowSum+n*float64(b)
		above := total - below
		if below == 0 || above == 0 {
			continue
		}
		d := belowSum/below - (sum-belowSum)/above
		if between := below * above * d * d; between > best {
			best, cut = between, b
		}
	}
	return float64(cut + 1)
}
