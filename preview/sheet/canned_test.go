package sheet

import (
	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// cannedRows is a layout of six tiles, one character per unit: a digit is a
// tile, a blank is gap, # lies outside the panel.
var cannedRows = []string{
	"##############",
	"#            #",
	"# 11 22 3333 #",
	"# 11 22 3333 #",
	"#            #",
	"# 4444 55 66 #",
	"# 4444 55 66 #",
	"#            #",
	"##############",
}

// cannedUnit is the size of a character, px.
const cannedUnit = 20

// cannedBorders are read off the rows: 1|2|3 above, 4|5|6 below.
var cannedBorders = []segment.Border{
	{A: 1, B: 2}, {A: 1, B: 4}, {A: 2, B: 3}, {A: 2, B: 4}, {A: 2, B: 5}, {A: 3, B: 5}, {A: 3, B: 6}, {A: 4, B: 5}, {A: 5, B: 6},
}

// canned is a proof of that layout under two shades. Under mid-warm tiles 1 and
// 2 merge, 5 and 6 merge, 3 has lost its outline alone, 4 keeps it; under
// near-black every tile keeps its outline.
func canned() *preview.Proof {
	m := cannedMap(cannedRows, cannedUnit)
	m.Borders = cannedBorders
	m.GapShare = .5
	p := &preview.Proof{
		Photo: &photo.Photo{Name: "lemons.jpg", W: m.W, H: m.H},
		Map:   m,
		Frame: preview.Frame{W: m.W, H: m.H, Panel: segment.Quad{{X: 20, Y: 20}, {X: 259, Y: 20}, {X: 259, Y: 159}, {X: 20, Y: 159}}},
	}
	p.Settings.Aim = preview.Balance
	p.Trials = []preview.Trial{
		{
			Shade: grout.Shade{ID: "mid-warm", Depth: "mid", Cast: "warm", Lab: colormath.Lab{L: 61.046, A: .749, B: 4.249}}, Rank: 1, Score: 70,
			Stats: contrast.Stats{
				DeltaL: colormath.Spread{P10: -8, P50: -2, P90: 5}, HyAB: colormath.Spread{P10: 3, P50: 8, P90: 40},
				Merging: contrast.Merging{MergingShare: .64, Groups: 2, LargestShare: .3, Pieces: 4},
				Tiles:   []contrast.TileContrast{{Loses: true, Group: 1}, {Loses: true, Group: 1}, {Loses: true}, {}, {Loses: true, Group: 2}, {Loses: true, Group: 2}},
			},
		},
		{
			Shade: grout.Shade{ID: "near-black", Depth: "dark", Cast: "true", Lab: colormath.Lab{L: 25.26}}, Rank: 2, Score: 40,
			Stats: contrast.Stats{
				DeltaL: colormath.Spread{P10: -60, P50: -45, P90: -30}, HyAB: colormath.Spread{P10: 31, P50: 50, P90: 70},
				Tiles: make([]contrast.TileContrast, 6),
			},
		},
	}
	return p
}

// cannedMap reads rows of characters.
func cannedMap(rows []string, unit int) *segment.Map {
	m := &segment.Map{W: len(rows[0]) * unit, H: len(rows) * unit}
	m.Gap, m.Label = make([]uint8, m.W*m.H), make([]uint16, m.W*m.H)
	tiles := 0
	for y := range m.H {
		for x := range m.W {
			switch c := rows[y/unit][x/unit]; c {
			case '#':
				continue
			case ' ':
				m.Gap[y*m.W+x] = 255
			default:
				m.Label[y*m.W+x] = uint16(c - '0')
				tiles = max(tiles, int(c-'0'))
			}
			m.Inside = append(m.Inside, segment.Span{Y: y, X0: x, X1: x + 1})
		}
	}
	m.Tiles = make([]segment.Tile, tiles)
	return m
}
