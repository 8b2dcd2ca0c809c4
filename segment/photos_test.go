package segment_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath/imgdiff"
	"gapshade/segment"
	"gapshade/segment/score"
)

// A photo of a brick wall that somebody else took and gave away (see
// testdata/SOURCES.md). Counted by eye at 2.4 times its size: 95 bricks, 41 of
// them cut by the picture's edge, two of these slivers of less than 4 px.
func TestBricksAreCounted(t *testing.T) {
	pic := imgdiff.FromImage(decode(t, "../testdata/photos/brick.png"))
	m, err := finder(t).Find(context.Background(), pic, segment.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 95, len(m.Tiles), .05*95)
	assert.InDelta(t, 41, m.CutTiles(), 4)
	assert.Greater(t, largestNet(m), .98, "mortar is one connected net, but for what the edge cuts off")
}

// largestNet is the share of the gap's pixels that hang together.
func largestNet(m *segment.Map) float64 {
	gap := score.Gap(m.Gap)
	for i := range gap {
		gap[i] = !gap[i] // Tiles numbers what is not gap
	}
	ids, n := score.Tiles(m.W, m.H, nil, gap, 1)
	size := make([]int, n+1)
	for _, id := range ids {
		size[id]++
	}
	all, largest := 0, 0
	for _, s := range size[1:] {
		all += s
		largest = max(largest, s)
	}
	return float64(largest) / math.Max(float64(all), 1)
}

// Photos of things that are no layout: loose
// gravel is the hard one, because it is small stones side by side.
func TestPhotosThatAreNoLayout(t *testing.T) {
	f := finder(t)
	for _, name := range []string{"gravel", "cat"} {
		k := known{pic: imgdiff.FromImage(decode(t, "../testdata/photos/"+name+".png"))}
		m, err := f.Find(context.Background(), k.pic, segment.Options{})
		assert.Nil(t, m, name)
		assert.ErrorAs(t, err, new(*segment.NoGapsError), name)
	}
}
