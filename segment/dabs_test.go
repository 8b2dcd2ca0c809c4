package segment_test

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
	"gapshade/segment/score"
)

// mostDabs is how often a person is asked to help (issue 14).
const mostDabs = 6

// What strokes teach: on every photo of the layouts at hand that one photo without a
// bed told leaves wrong, at most six dabs, each in the middle of the largest spot that
// is wrong then. It prints the scores after each, and how long stroke and lesson took.
//
//	GAPSHADE_SCENES=folder go test ./segment -run Dabs -v
//
// With GAPSHADE_DABS=folder it leaves the gaps after each dab there, to look at.
func TestDabs(t *testing.T) {
	var text strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "photo\tdabs\tpainted\tiou\tf1\ttiles\tcnt\tstroke ms\tlearn ms\t")
	for _, path := range folder(t, "GAPSHADE_SCENES", "*/photo_*.jpg") {
		bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
		k := scene(t, filepath.Dir(path), bed)
		a, err := finder(t).Analyse(t.Context(), k.pic, segment.Options{Panel: k.corners})
		if err != nil {
			fmt.Fprintf(w, "%s\t%v\t\n", k.name, err)
			continue
		}
		var stroke, learn time.Duration
		said := ""
		for n := 0; ; n++ {
			m := a.Map()
			gt, gf := score.Gap(k.gap), score.Gap(m.Gap)
			f1, cnt := score.BoundaryF1(m.W, m.H, k.panel, gt, gf, 2), score.CountError(k.tiles, len(m.Tiles))
			fmt.Fprintf(w, "%s\t%d\t%s\t%.3f\t%.3f\t%d\t%.3f\t%d\t%d\t\n", k.name, n, said, score.IoU(k.panel, gt, gf), f1,
				len(m.Tiles), cnt, stroke.Milliseconds(), learn.Milliseconds())
			leave(t, fmt.Sprintf("%s %d.png", k.name, n), k, a)
			s, left := nextDab(k, m)
			if n == mostDabs || !left || f1 >= .99 && cnt <= .005 {
				break
			}
			said = map[segment.Shows]string{segment.ShowsGap: "gap", segment.ShowsTile: "tile"}[s.Shows]
			said = fmt.Sprintf("%s %.0f,%.0f r%.1f", said, s.Path[0].X, s.Path[0].Y, s.Path[0].R)
			start := time.Now()
			_, err := a.Stroke(s)
			require.NoError(t, err)
			stroke = time.Since(start)
			_, err = a.Learn(t.Context())
			require.NoError(t, err)
			learn = time.Since(start) - stroke
		}
	}
	w.Flush()
	t.Log("\n" + text.String())
}

// Spots that are nowhere farther from what is right than this are edges a little off,
// which nobody would paint over, picture px.
const leastSpot = 2

// mostBrush is the widest brush that the dabs are painted with, radius in picture px.
const mostBrush = 10

// nextDab is a dab in the middle of the largest spot that is wrong, as wide as the spot
// allows.
func nextDab(k known, m *segment.Map) (s segment.Stroke, left bool) {
	w := m.W
	wrong := make([]bool, len(m.Gap))
	for i := range wrong {
		wrong[i] = (k.panel == nil || k.panel[i]) && (m.Gap[i] >= 128) != (k.gap[i] >= 128)
	}
	depth := depths(w, wrong)
	seen := make([]bool, len(wrong))
	best := 0
	for from := range wrong {
		if depth[from] < leastSpot || seen[from] {
			continue
		}
		seen[from] = true
		spot, middle := []int{from}, from
		for n := 0; n < len(spot); n++ {
			i := spot[n]
			if depth[i] > depth[middle] {
				middle = i
			}
			for _, j := range [4]int{i - 1, i + 1, i - w, i + w} { // never across the border: depth is least there
				if j >= 0 && j < len(wrong) && !seen[j] && depth[j] >= leastSpot && (k.gap[i] >= 128) == (k.gap[j] >= 128) {
					seen[j] = true
					spot = append(spot, j)
				}
			}
		}
		if len(spot) <= best {
			continue
		}
		best, left = len(spot), true
		s.Shows = segment.ShowsTile
		if k.gap[middle] >= 128 {
			s.Shows = segment.ShowsGap
		}
		s.Path = []segment.Dab{{Point: segment.Point{X: float64(middle % w), Y: float64(middle / w)}, R: min(.8*depth[middle], mostBrush)}}
	}
	return s, left
}

// depths is how far each pixel of a set lies from what is not in it, px, by the two
// passes of a chamfer, 1 and √2; beyond the picture's border nothing is in it.
func depths(w int, in []bool) []float64 {
	d := make([]float64, len(in))
	h := len(in) / w
	pass := func(x, y, step int) {
		i := y*w + x
		if !in[i] || x == 0 || y == 0 || x == w-1 || y == h-1 {
			return
		}
		d[i] = min(d[i], d[i-step]+1, d[i-step*w]+1, d[i-step*w-1]+math.Sqrt2, d[i-step*w+1]+math.Sqrt2)
	}
	for i := range d {
		if in[i] && i%w > 0 && i%w < w-1 && i/w > 0 && i/w < h-1 {
			d[i] = math.Inf(1)
		}
	}
	for i := range d {
		pass(i%w, i/w, 1)
	}
	for i := len(d) - 1; i >= 0; i-- {
		pass(i%w, i/w, -1)
	}
	return d
}

// leave leaves a picture of the gaps on the photo: found and true in white, found alone
// in red, true alone in blue; strokes in yellow where they say gap, in green where tile.
func leave(t *testing.T, name string, k known, a *segment.Analysis) {
	dir := os.Getenv("GAPSHADE_DABS")
	if dir == "" {
		return
	}
	m := a.Map()
	img := image.NewRGBA(image.Rect(0, 0, m.W, m.H))
	for i, g := range m.Gap {
		c := color.RGBA{colormath.Encode8(k.pic.Pix[3*i]), colormath.Encode8(k.pic.Pix[3*i+1]), colormath.Encode8(k.pic.Pix[3*i+2]), 255}
		found, is := g >= 128, k.gap[i] >= 128
		switch {
		case k.panel != nil && !k.panel[i]:
		case found && is:
			c = color.RGBA{255, 255, 255, 255}
		case found:
			c = color.RGBA{255, 0, 0, 255}
		case is:
			c = color.RGBA{0, 0, 255, 255}
		}
		for _, s := range a.Strokes() {
			d := s.Path[0]
			if r := math.Hypot(float64(i%m.W)-d.X, float64(i/m.W)-d.Y); r < d.R+3 && r > d.R-1 {
				c = map[segment.Shows]color.RGBA{segment.ShowsGap: {255, 255, 0, 255}, segment.ShowsTile: {0, 255, 0, 255}}[s.Shows]
			}
		}
		img.SetRGBA(i%m.W, i/m.W, c)
	}
	f, err := os.Create(filepath.Join(dir, strings.ReplaceAll(name, " ", "_")))
	require.NoError(t, err)
	require.NoError(t, png.Encode(f, img))
	require.NoError(t, f.Close())
}
