package segment_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/segment"
	"gapshade/segment/score"
)

// china is painted in stripes as wide as the gaps, each tile's another way: every one of
// them looks like a joint (issue 14).
func china() drawnPair {
	d := sixtyThree()
	d.paint = func(tile int, u, v float64) float64 {
		along := [...]float64{u, v, (u + v) / math.Sqrt2}[tile%3]
		edge := math.Asin(math.Sin(2*math.Pi*along/14+float64(tile))) * 14 / (2 * math.Pi) // px from the stripe's edge
		return .25 + .75*d.smooth(edge)
	}
	return d
}

var chinaOnWhite, chinaOnBlack = shot{white, still, 1, 1}, shot{black, turned(480, 400, .5, 1, 2.5, -1.7), 1.05, 2}

// drawnGap is the layout's gap as it was drawn, 0…255.
func (d drawnPair) drawnGap() []uint8 {
	gap := make([]uint8, d.w*d.h)
	for i := range gap {
		share, _, _, _ := d.at(float64(i%d.w), float64(i/d.w))
		gap[i] = uint8(255*(1-share) + .5)
	}
	return gap
}

// Whatever the faces carry, two sound photos show every tile and every gap: painted, with
// a quarter of the tiles missing, on either paper first.
func TestPatternAndMissingTiles(t *testing.T) {
	half := china()
	half.missing = func(tile int) bool { return tile%4 == 1 }
	for _, c := range []struct {
		name  string
		d     drawnPair
		tiles int
	}{{"painted", china(), 63}, {"a quarter missing", half, 63 - 16}} {
		for _, shots := range [][2]shot{{chinaOnWhite, chinaOnBlack}, {{black, still, 1, 1}, {white, chinaOnBlack.pose, 1.05, 2}}} {
			t.Run(fmt.Sprint(c.name, " ", shots[0].bed), func(t *testing.T) {
				m, err := c.d.find(t, shots[0], shots[1], segment.Options{})
				require.NoError(t, err)
				assert.Len(t, m.Tiles, c.tiles)
				panel := make([]bool, m.W*m.H)
				for _, s := range c.d.panel().Spans(m.W, m.H) {
					for x := s.X0; x < s.X1; x++ {
						panel[s.Y*m.W+x] = true
					}
				}
				iou := score.IoU(panel, score.Gap(c.d.drawnGap()), score.Gap(m.Gap))
				t.Logf("IoU %.3f, off by %.3f px", iou, offPx(m.Pair.ToPicture, shots[1].pose, c.d.panel()))
				assert.GreaterOrEqual(t, iou, .9)
				assert.LessOrEqual(t, offPx(m.Pair.ToPicture, shots[1].pose, c.d.panel()), .1, "pattern lays it better than plain faces")
			})
		}
	}
}

// A painted tile that was pushed gives itself away by its paint; the fault names it and
// where the first photo shows it: tile 31 covers 219.5 … 259.5, 179.5 … 219.5 px.
func TestMovedPaintedTileIsNamed(t *testing.T) {
	d := china()
	d.moved = func(tile int) (dx, dy float64) {
		if tile == 31 {
			return 2.4, 1.8
		}
		return 0, 0
	}
	_, err := d.find(t, chinaOnWhite, chinaOnBlack, segment.Options{})
	e := pairFault(t, err)
	assert.Equal(t, segment.TilesMoved, e.Fault)
	require.NotEmpty(t, e.Moved)
	for _, b := range e.Moved { // where its stripes cross those in the other photo, it may seem to be several
		assert.InDelta(t, 239.5, b.Centre.X, 20)
		assert.InDelta(t, 199.5, b.Centre.Y, 20)
		assert.GreaterOrEqual(t, b.X0, 218)
		assert.GreaterOrEqual(t, b.Y0, 178)
		assert.LessOrEqual(t, b.X1, 262)
		assert.LessOrEqual(t, b.Y1, 222)
	}
}

// The same grid with other tiles on it: all joints agree, and half of the tiles are darker
// on white paper than on black.
func TestOtherTilesInTheSameGridAreRefused(t *testing.T) {
	d, other := sixtyThree(), sixtyThree()
	other.seed = 7
	first := d.photo(shot{white, still, 1, 1})
	_, err := finder(t).Find(t.Context(), first, segment.Options{Panel: d.panel(), GapPx: d.gap, Second: asSecond(other.photo(shot{black, still, 1, 2}), first)})
	assert.Equal(t, segment.OtherLayout, pairFault(t, err).Fault)
}
