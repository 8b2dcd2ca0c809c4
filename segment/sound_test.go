package segment

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// assertSound checks what holds for every map: its parts tell the same story.
func assertSound(t *testing.T, m *Map) {
	t.Helper()
	require.Len(t, m.Gap, m.W*m.H)
	require.Len(t, m.Label, m.W*m.H)
	in, gap := insideOf(m)
	assert.InDelta(t, gap/m.PanelPx, m.GapShare, 1e-9)
	outside, notTile, outOfBox := 0, 0, 0
	for i, l := range m.Label {
		if !in[i] && (m.Gap[i] > 0 || l > 0) {
			outside++
		}
		if l == 0 {
			continue
		}
		require.LessOrEqual(t, int(l), len(m.Tiles))
		if m.Gap[i] >= 128 {
			notTile++
		}
		b := m.Tiles[l-1]
		if x, y := i%m.W, i/m.W; x < b.X0 || x >= b.X1 || y < b.Y0 || y >= b.Y1 {
			outOfBox++
		}
	}
	assert.Zero(t, outside, "pixels of gap or tile outside the panel")
	assert.Zero(t, notTile, "pixels of a tile that are mostly gap")
	assert.Zero(t, outOfBox, "pixels outside their tile's box")
	for _, b := range m.Tiles {
		require.Positive(t, b.AreaPx)
		// slivers beside a tile count, and may draw a very small one's centre out of its box
		require.True(t, b.Centre.X >= float64(b.X0)-1 && b.Centre.X <= float64(b.X1) &&
			b.Centre.Y >= float64(b.Y0)-1 && b.Centre.Y <= float64(b.Y1), "the centre lies in the box")
	}
	for _, b := range m.Borders {
		require.True(t, 1 <= b.A && b.A < b.B && b.B <= len(m.Tiles), "border %d–%d", b.A, b.B)
		require.Positive(t, b.WidthPx)
	}
}

// assertSameMap compares every field, the large ones without printing them.
func assertSameMap(t *testing.T, want, got *Map) {
	t.Helper()
	assert.True(t, slices.Equal(want.Gap, got.Gap), "the coverage differs")
	assert.True(t, slices.Equal(want.Label, got.Label), "the tile numbers differ")
	assert.True(t, slices.Equal(want.Inside, got.Inside), "the panel differs")
	assert.True(t, slices.Equal(want.Tiles, got.Tiles), "the tiles differ")
	assert.True(t, slices.Equal(want.Borders, got.Borders), "the borders differ")
	a, b := *want, *got
	for _, m := range []*Map{&a, &b} {
		m.Gap, m.Label, m.Inside, m.Tiles, m.Borders = nil, nil, nil, nil, nil
	}
	assert.Equal(t, a, b)
}

// insideOf gives the panel as a mask and the gap area in it, px².
func insideOf(m *Map) (in []bool, gap float64) {
	in = make([]bool, m.W*m.H)
	for _, s := range m.Inside {
		for x := s.X0; x < s.X1; x++ {
			in[s.Y*m.W+x] = true
			gap += float64(m.Gap[s.Y*m.W+x]) / 255
		}
	}
	return in, gap
}
