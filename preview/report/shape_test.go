package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
	"gapshade/preview/quantity"
	"gapshade/segment"
)

// framed is the canned proof with an outline of 40 × 30 px and an opening of 20 × 10.
func framed() *preview.Proof {
	p := canned()
	p.Frame.Outline = []segment.Point{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 30}, {X: 0, Y: 30}}
	p.Frame.Holes = [][]segment.Point{{{X: 10, Y: 10}, {X: 30, Y: 10}, {X: 30, Y: 20}, {X: 10, Y: 20}}}
	return p
}

// The report says what the outline is like, and so does its schema. (14)
func TestShape(t *testing.T) {
	c := schemaChecker(t)
	for _, free := range []bool{false, true} {
		for _, p := range []*preview.Proof{canned(), framed()} {
			p.Frame.Free = free
			r := FromProof(p, nil)
			assert.Equal(t, map[bool]string{false: "four corners", true: "free"}[free], r.Frame.Shape)
			assert.Len(t, r.Frame.Holes, len(p.Frame.Holes))
			assert.NoError(t, c.check(c.root, reportValue(t, r)))
		}
	}
	r := FromProof(framed(), nil)
	assert.Equal(t, [2]float64{30, 20}, r.Frame.Holes[0][2])
	for _, f := range facts(&r) {
		assert.NotContains(t, f.Value, "box")
	}
	r.Frame.Shape = FreeOutline
	assert.Contains(t, facts(&r)[2].Value, "by the box round the outline")
}

// Half a millimetre a pixel: 140 px round the outline and 60 round the opening are 100 mm
// of rim, and 1,200 less 200 px² is the area that a size turns into mm².
func TestOpeningsCountInRimAndArea(t *testing.T) {
	r := FromProof(framed(), nil)
	in, ok := r.Measured(quantity.Default())
	require.True(t, ok)
	assert.InDelta(t, 100, in.PerimeterMm, 1e-6)

	p := framed()
	p.Frame.MmPerPx = 0
	p.Frame.Panel = segment.Quad{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 30}, {X: 0, Y: 30}}
	r = FromProof(p, nil)
	require.NoError(t, r.Rescale(40, 30)) // the box round it: a millimetre a pixel
	assert.InDelta(t, .25*1000, *r.Gaps.AreaMm2, .1)
}

// Nothing in an opening is a narrow gap.
func TestNoNarrowGapInAnOpening(t *testing.T) {
	r := FromProof(framed(), nil)
	gap := make([]uint8, 50*40)
	for i := range gap {
		if x := i % 50; x >= 19 && x < 21 {
			gap[i] = 255
		}
	}
	n, ok := r.Narrows(gap, 0)
	require.True(t, ok)
	assert.Equal(t, quantity.Outside, n.Cell[15*50+20])
	assert.Equal(t, quantity.NarrowGap, n.Cell[5*50+20])
}
