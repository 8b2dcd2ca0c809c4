package score

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The maps of these tests are drawn with one character per pixel: '.' is gap,
// any other character the tile of that name; the name's code is its number.

func drawn(t *testing.T, lines string) (w, h int, label []uint16) {
	rows := strings.Fields(lines)
	w, h = len(rows[0]), len(rows)
	for _, r := range rows {
		require.Len(t, r, w, "a row of the drawn map is too long or too short")
		for _, c := range r {
			if c == '.' {
				c = 0
			}
			label = append(label, uint16(c))
		}
	}
	return w, h, label
}

// gapOf is the mask of the drawn gap.
func gapOf(t *testing.T, lines string) (w, h int, gap []bool) {
	w, h, label := drawn(t, lines)
	for _, l := range label {
		gap = append(gap, l == 0)
	}
	return w, h, gap
}

// shown draws a mask: '#' where it is true.
func shown(w int, mask []bool) string {
	var b strings.Builder
	for i, on := range mask {
		if i > 0 && i%w == 0 {
			b.WriteByte('\n')
		}
		b.WriteByte(".#"[map[bool]int{true: 1}[on]])
	}
	return b.String()
}

// unindented takes the tabs of the source off a drawn map.
func unindented(lines string) string { return strings.Join(strings.Fields(lines), "\n") }
