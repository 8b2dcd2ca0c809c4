package page

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A round panel has no corners to move: the page is told its outline, ten tiles across
// and the shoulder of half a gap. Corners that a person sets all the same are corners, and
// to have them found again brings the outline back. (14)
func TestAFreeOutlineOnThePage(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.settled(a.upload("round.png", roundPhoto(t)).ID)
	require.Nil(t, s.Fault)
	assert.Equal(t, "free", s.Report.Frame.Shape)
	assert.Nil(t, s.Corners)
	require.Len(t, s.Rings, 1)
	lo, hi := s.Rings[0][0], s.Rings[0][0]
	for _, p := range s.Rings[0] {
		for k := range p {
			lo[k], hi[k] = math.Min(lo[k], p[k]), math.Max(hi[k], p[k])
		}
	}
	const shoulder = (drawnPitch - drawnTile) / 2
	for k, from := range []float64{drawnX - .5, drawnY - .5} {
		assert.InDelta(t, from-shoulder, lo[k], 2)
		assert.InDelta(t, from-shoulder+10*drawnPitch, hi[k], 2)
	}

	at := "/api/panels/" + s.ID
	a.state(200, "PATCH", at+"/settings", `{"corners":[[28,28],[595,28],[595,595],[28,595]]}`)
	s = a.settled(s.ID)
	assert.Equal(t, "four corners", s.Report.Frame.Shape)
	assert.NotNil(t, s.Corners)
	assert.Empty(t, s.Rings)
	a.state(200, "PATCH", at+"/settings", `{"corners":null}`)
	s = a.settled(s.ID)
	assert.Nil(t, s.Corners)
	assert.Len(t, s.Rings, 1)
}

// A panel with four corners has these and no ring.
func TestNoRingsRoundFourCorners(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.settled(a.upload("layout.png", drawnPhoto(t)).ID)
	assert.NotNil(t, s.Corners)
	assert.NotNil(t, s.Rings, "an empty list, not null")
	assert.Empty(t, s.Rings)
}
