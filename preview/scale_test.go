package preview

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"gapshade/colormath"
	"gapshade/segment"
)

// A panel of 300 × 200 mm seen from one side: its far edge is half as long as the
// near one.
var leaning = segment.Quad{{X: 200, Y: 50}, {X: 400, Y: 50}, {X: 500, Y: 350}, {X: 100, Y: 350}}

func leaningFrame() Frame {
	s := Settings{WidthMm: 300, HeightMm: 200}
	return Frame{ToPanel: s.toPanel(leaning), MmPerPx: s.mmPerPx(&leaning)}
}

// By the corners: they are the panel's, in mm.
func TestToPanelTakesCornersToCorners(t *testing.T) {
	f := leaningFrame()
	for i, want := range [4][2]float64{{0, 0}, {300, 0}, {300, 200}, {0, 200}} {
		x, y := f.ToPanel.Apply(leaning[i].X, leaning[i].Y)
		assert.InDelta(t, want[0], x, 1e-9)
		assert.InDelta(t, want[1], y, 1e-9)
	}
}

// By finite differences: the area of the parallelogram that a small square becomes.
// And by adding up: all pixels of the panel together are 60,000 mm².
func TestMm2PerPx(t *testing.T) {
	f := leaningFrame()
	const d = 1e-4
	for _, p := range [][2]float64{{210, 60}, {300, 200}, {480, 345}} {
		ax, ay := f.ToPanel.Apply(p[0]-d, p[1])
		bx, by := f.ToPanel.Apply(p[0]+d, p[1])
		cx, cy := f.ToPanel.Apply(p[0], p[1]-d)
		ex, ey := f.ToPanel.Apply(p[0], p[1]+d)
		want := math.Abs((bx-ax)*(ey-cy)-(by-ay)*(ex-cx)) / (4 * d * d)
		assert.InEpsilon(t, want, f.Mm2PerPx(p[0], p[1]), 1e-6)
	}
	assert.Greater(t, f.Mm2PerPx(300, 60), 3*f.Mm2PerPx(300, 340), "a pixel shows more of what is far")

	m := &segment.Map{W: 600, H: 400, Gap: make([]uint8, 600*400), Inside: segment.Spans(600, 400, leaning[:])}
	for i := range m.Gap {
		m.Gap[i] = 255
	}
	p := &Proof{Frame: f, Map: m}
	assert.InEpsilon(t, 60000, p.GapArea(), 3e-3, "up to the pixels along the edge")
}

// Without a size areas stay px².
func TestMm2PerPxWithoutASize(t *testing.T) {
	s := Settings{}
	f := Frame{ToPanel: s.toPanel(leaning)}
	assert.Equal(t, colormath.Homography{}, f.ToPanel)
	assert.Equal(t, 1., f.Mm2PerPx(3, 5))
}
