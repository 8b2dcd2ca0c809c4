package segment

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Masks of these tests are drawn with one character per pixel, '#' on, '.' off;
// label maps with '.' for 0 and a letter per tile, whose code is its number.

func drawn(t testing.TB, lines string) (w, h int, label []int32) {
	rows := strings.Fields(lines)
	w, h = len(rows[0]), len(rows)
	for _, r := range rows {
		require.Len(t, r, w, "a row of the drawn map is too long or too short")
		for _, c := range r {
			if c == '.' {
				c = 0
			}
			label = append(label, c)
		}
	}
	return w, h, label
}

func mask(t testing.TB, lines string) (w, h int, on []bool) {
	w, h, label := drawn(t, lines)
	for _, l := range label {
		on = append(on, l > 0)
	}
	return w, h, on
}

// shown draws a mask, to compare with a drawn one.
func shown(w int, on []bool) string {
	var b strings.Builder
	for i, v := range on {
		if i > 0 && i%w == 0 {
			b.WriteByte('\n')
		}
		if v {
			b.WriteByte('#')
		} else {
			b.WriteByte('.')
		}
	}
	return b.String()
}

// plain takes the tabs of the source off a drawn map.
func plain(lines string) string { return strings.Join(strings.Fields(lines), "\n") }

func everywhere(n int) []bool {
	on := make([]bool, n)
	for i := range on {
		on[i] = true
	}
	return on
}

// seen is an evidence in which the network answered as drawn: '#' tile, '.'
// gap, all of it panel, one view pixel per picture pixel.
func seen(t testing.TB, lines string) *evidence {
	w, h, on := mask(t, lines)
	ev := &evidence{
		view: &view{win: window{0, 0, w, h}, scale: 1, w: w, h: h, lin: make([]float32, 3*w*h)},
		tile: newPlane(w, h),
		lay:  &layout{panel: everywhere(w * h)},
	}
	for i, tile := range on {
		if tile {
			ev.tile.v[i] = 1
		}
	}
	return ev
}

func (ev *evidence) shown() string {
	on := make([]bool, len(ev.tile.v))
	for i, v := range ev.tile.v {
		on[i] = v > .5
	}
	return shown(ev.tile.w, on)
}
