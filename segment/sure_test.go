package segment_test

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/segment"
)

// spoil is what goes wrong in a disc of a photo.
type spoil func(p [3]float32, x, y int, src *colormath.Picture) [3]float32

// blur is a mean over 19 px; glare covers three quarters with white; dark leaves a
// thirtieth of the light and the noise of a sensor.
func blur(_ [3]float32, x, y int, src *colormath.Picture) (out [3]float32) {
	n := float32(0)
	for v := max(y-9, 0); v <= min(y+9, src.H-1); v += 3 {
		for u := max(x-9, 0); u <= min(x+9, src.W-1); u += 3 {
			n++
			for c := range out {
				out[c] += src.Pix[3*(v*src.W+u)+c]
			}
		}
	}
	for c := range out {
		out[c] /= n
	}
	return out
}

func glare(p [3]float32, _, _ int, _ *colormath.Picture) [3]float32 {
	for c := range p {
		p[c] = .25*p[c] + .75
	}
	return p
}

func dark(p [3]float32, x, y int, _ *colormath.Picture) [3]float32 {
	for c := range p {
		p[c] = max(0, .03*p[c]+.006*float32(math.Sin(float64(x*x*(c+3)+y*y*7+x*y)))) // noise enough
	}
	return p
}

// spoilt is a copy with a disc of radius r spoilt, its edge soft.
func spoilt(src *colormath.Picture, cx, cy, r float64, how spoil) *colormath.Picture {
	out := &colormath.Picture{W: src.W, H: src.H, Pix: slices.Clone(src.Pix)}
	for y := range src.H {
		for x := range src.W {
			a := float32(min(max((r-math.Hypot(float64(x)-cx, float64(y)-cy))/25, 0), 1))
			if a == 0 {
				continue
			}
			p := [3]float32(src.Pix[3*(y*src.W+x):])
			for c, v := range how(p, x, y, src) {
				out.Pix[3*(y*src.W+x)+c] = p[c] + a*(v-p[c])
			}
		}
	}
	return out
}

// place is a point of the panel, both ways 0…1.
func place(q *segment.Quad, u, v float64) (x, y float64) {
	x = (q[0].X*(1-u)+q[1].X*u)*(1-v) + (q[3].X*(1-u)+q[2].X*u)*v
	y = (q[0].Y*(1-u)+q[1].Y*u)*(1-v) + (q[3].Y*(1-u)+q[2].Y*u)*v
	return x, y
}

// A disc of blur, of glare, of darkness: the worst region lies on it and nowhere
// else; on the photo as it is there is none.
func TestWeakRegionIsWhereThePhotoIsSpoilt(t *testing.T) {
	k := scene(t, "../testdata/scenes/grid-whites", "white")
	find := func(pic *colormath.Picture) []segment.Region {
		m, err := finder(t).Find(context.Background(), pic, segment.Options{Panel: k.corners})
		require.NoError(t, err)
		assertGrid(t, m)
		return m.Sure.Weak(.8)
	}
	assert.Empty(t, find(k.pic))
	for name, how := range map[string]spoil{"blur": blur, "glare": glare, "dark": dark} {
		x, y := place(k.corners, .3, .65)
		weak := find(spoilt(k.pic, x, y, 130, how))
		require.NotEmpty(t, weak, name)
		assert.Less(t, weak[0].Sure, .7, name)
		for _, w := range weak {
			mid := w.Box.Min.Add(w.Box.Max).Div(2)
			assert.Less(t, math.Hypot(float64(mid.X)-x, float64(mid.Y)-y), 130., "%s: %v", name, w)
		}
	}
}

// assertGrid checks what holds for every grid: it covers the picture, and says
// something wherever the panel lies.
func assertGrid(t *testing.T, m *segment.Map) {
	t.Helper()
	s := &m.Sure
	require.Len(t, s.Of, s.W*s.H)
	assert.GreaterOrEqual(t, float64(s.W)*s.CellPx, float64(m.W))
	assert.Less(t, float64(s.W-1)*s.CellPx, float64(m.W))
	for _, in := range m.Inside {
		for x := in.X0; x < in.X1; x += 40 {
			i := int((float64(in.Y)+.5)/s.CellPx)*s.W + int((float64(x)+.5)/s.CellPx)
			require.NotZero(t, s.Of[i], "at %d, %d", x, in.Y)
		}
	}
}

// On photos with a truth, regions with less confidence hold more error. Every
// panel's cells are put into three bins by confidence; the error of a bin is the
// coverage error added up over the length of the true edge: how far edges are off in
// the mean, px. The photos are taken as they are, and with three discs spoilt.
func TestSureOnScenes(t *testing.T) {
	files := folder(t, "GAPSHADE_SCENES", "*/photo_*.jpg")
	f := finder(t)
	for _, spoil := range []bool{false, true} {
		var text strings.Builder
		var sum [3]float64
		for _, path := range files {
			bed := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "photo_"), ".jpg")
			k := scene(t, filepath.Dir(path), bed)
			if spoil {
				for i, how := range []func([3]float32, int, int, *colormath.Picture) [3]float32{blur, glare, dark} {
					x, y := place(k.corners, []float64{.25, .7, .4}[i], []float64{.3, .45, .8}[i])
					k.pic = spoilt(k.pic, x, y, 110, how)
				}
			}
			m, err := f.Find(context.Background(), k.pic, segment.Options{Panel: k.corners})
			require.NoError(t, err, k.name)
			assertGrid(t, m)
			bins, weak := k.errorBins(m)
			fmt.Fprintf(&text, "%-22s %5.2f %5.2f %5.2f  %3d of %d cells below .8\n", k.name, bins[0], bins[1], bins[2], weak, len(m.Sure.Of))
			assert.Greater(t, bins[0], bins[2], "%s: the least sure third against the surest", k.name)
			for i := range sum {
				sum[i] += bins[i] / float64(len(files))
			}
		}
		t.Logf("spoilt: %v. Error of edges, px, least sure third of the cells to surest\n%s%-22s %5.2f %5.2f %5.2f",
			spoil, text.String(), "mean", sum[0], sum[1], sum[2])
	}
}

// The same on scans of laid floors, none of which was looked at when the marks of
// confidence were set. Their masks are uncertain by a px or two, so only the mean over
// all floors is held to it.
func TestSureOnScans(t *testing.T) {
	files := folder(t, "GAPSHADE_REAL", "*_gap.png")
	var text strings.Builder
	var sum [3]float64
	for _, path := range files {
		k := scan(t, path)
		m, err := finder(t).Find(context.Background(), k.pic, segment.Options{Panel: k.corners})
		if err != nil {
			fmt.Fprintf(&text, "%-22s refused\n", k.name)
			continue
		}
		k.panel = inside(m)
		bins, weak := k.errorBins(m)
		fmt.Fprintf(&text, "%-22s %5.2f %5.2f %5.2f  %3d of %d cells below .8\n", k.name, bins[0], bins[1], bins[2], weak, len(m.Sure.Of))
		for i := range sum {
			sum[i] += bins[i]
		}
	}
	assert.Greater(t, sum[0], sum[2])
	t.Logf("error of edges, px, least sure third of the cells to surest\n%s", text.String())
}

// errorBins is the error of each third of the cells, least sure first, and how many
// cells are below the good mark.
func (k *known) errorBins(m *segment.Map) (out [3]float64, weak int) {
	type cell struct{ off, edge, sure float64 }
	s := &m.Sure
	cells := make([]cell, len(s.Of))
	gap := func(i int) bool { return k.gap[i] >= 128 }
	for y := range m.H - 1 {
		for x := range m.W - 1 {
			i := y*m.W + x
			if !k.panel[i] {
				continue
			}
			c := &cells[int((float64(y)+.5)/s.CellPx)*s.W+int((float64(x)+.5)/s.CellPx)]
			c.off += math.Abs(float64(k.gap[i])-float64(m.Gap[i])) / 255
			for _, j := range [2]int{i + 1, i + m.W} {
				if gap(i) != gap(j) {
					c.edge++
				}
			}
		}
	}
	for i := range cells {
		cells[i].sure = float64(s.Of[i])
		if v := s.Of[i]; v > 0 && v < 204 {
			weak++
		}
	}
	cells = slices.DeleteFunc(cells, func(c cell) bool { return c.sure == 0 || c.edge < 20 })
	slices.SortStableFunc(cells, func(a, b cell) int { return cmp.Compare(a.sure, b.sure) })
	for b := range out {
		var off, edge float64
		for _, c := range cells[b*len(cells)/3 : (b+1)*len(cells)/3] {
			off, edge = off+c.off, edge+c.edge
		}
		out[b] = off / max(edge, 1)
	}
	return out, weak
}

// By eye: two regions, the one with more to make up for first; a cell alone, and
// cells that meet at a corner, are none.
func TestWeakRegions(t *testing.T) {
	s := segment.Sureness{W: 6, H: 5, CellPx: 10.4, Of: []uint8{
		255, 255, 255, 255, 255, 255,
		255, 200, 255, 255, 255, 1,
		255, 190, 255, 100, 255, 255,
		255, 255, 255, 120, 110, 255,
		0, 0, 255, 255, 255, 255,
	}}
	got := s.Weak(.8)
	require.Len(t, got, 2)
	assert.Equal(t, segment.Region{Box: image.Rect(31, 21, 52, 42), Cells: 3, Sure: 110. / 255}, got[0])
	assert.Equal(t, segment.Region{Box: image.Rect(10, 10, 21, 31), Cells: 2, Sure: 195. / 255}, got[1])
	assert.Empty(t, s.Weak(.003), "1 is sure of nothing, and so alone")
	assert.Empty(t, (&segment.Sureness{}).Weak(1))
}
