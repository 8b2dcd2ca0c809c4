package report

import (
	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
	"gapshade/segment"
)

const cannedSHA = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

// canned is a proof of two tiles under two shades, with numbers that are easy
// to follow: half a millimetre per pixel, tiles of 400 and 800 px², gaps a
// quarter of 2,000 px².
func canned() *preview.Proof {
	p := cannedTrials()
	p.Map.Gap = make([]uint8, 50*40) // the upper quarter is gap
	for y := range 40 {
		p.Map.Inside = append(p.Map.Inside, segment.Span{Y: y, X1: 50})
	}
	for i := range 500 {
		p.Map.Gap[i] = 255
	}
	p.Map.Panel = p.Frame.Panel
	p.Panel = contrast.NewPanel(p.Map, p.TileLab, nil, 1)
	return p
}

func cannedTrials() *preview.Proof {
	return &preview.Proof{
		Settings: preview.Settings{Aim: preview.Balance},
		Photo:    &photo.Photo{Name: "lemons.jpg", Format: "jpeg", Profile: "sRGB (assumed)", SHA256: cannedSHA, W: 50, H: 40},
		Frame: preview.Frame{W: 50, H: 40, PhotoToFrame: [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}, MmPerPx: .5,
			Panel:   segment.Quad{{X: 0, Y: 0}, {X: 49, Y: 0}, {X: 49, Y: 39.0049}, {X: 0, Y: 39}},
			Outline: []segment.Point{{X: 0, Y: 0}, {X: 49, Y: 0}, {X: 20, Y: 39}}},
		Light: preview.Light{BedLab: colormath.Lab{L: 88.12345, A: -.0001, B: 1.5}, Unevenness: .25, Cast: [3]float64{1, 1, 1}},
		Map: &segment.Map{W: 50, H: 40, GapShare: .25, PanelPx: 2000, Confidence: .9,
			GapWidthPx: colormath.Spread{P10: 4, P50: 6, P90: 8},
			Sure:       segment.Sureness{W: 5, H: 4, CellPx: 10, Of: []uint8{255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 102, 153, 255, 255, 255, 255, 255, 255, 255, 255}},
			Tiles:      []segment.Tile{{AreaPx: 400, Centre: segment.Point{X: 10.25, Y: 20}}, {AreaPx: 800, Centre: segment.Point{X: 35, Y: 20}, Cut: true}}},
		TileLab: []colormath.Lab{{L: 60, A: 1, B: 2}, {L: 30, A: -1, B: -2}},
		Trials: []preview.Trial{
			{Shade: grout.Shade{ID: "mid-warm", Depth: "mid", Cast: "warm", Lab: colormath.Lab{L: 61.046, A: .749, B: 4.249}},
				Rank: 1, Score: 70.04, Reason: "Lighter than every piece.",
				Terms: contrast.Terms{Tiles: 60.04, WorstCluster: 50, Outlines: 66.67, QuietGrid: 100, Steady: 90}, Worst: contrast.Worst{Cluster: 1},
				Damp: colormath.Lab{L: 47.7}, At: []contrast.Seen{{DistanceM: 2, HyAB: colormath.Spread{P10: 2, P50: 12, P90: 22}, Merging: contrast.Merging{MergingShare: .5, Groups: 1, Pieces: 1}}},
				Stats: contrast.Stats{
					DeltaL: colormath.Spread{P10: 1, P50: 16, P90: 31}, HyAB: colormath.Spread{P10: 3, P50: 20, P90: 38}, DE00: colormath.Spread{P10: 2, P50: 15, P90: 28},
					Grid: .25, Shift: 4.004, Afar: colormath.Lab{L: 48, A: .5, B: 1},
					Merging: contrast.Merging{MergingShare: 1. / 3, Pieces: 2},
					Tiles:   []contrast.TileContrast{{DeltaL: 1.046, HyAB: 3.309, DE00: 2.2, Loses: true}, {DeltaL: 31.046, HyAB: 37.536, DE00: 28.3}}}},
			{Shade: grout.Shade{ID: "near-black", Depth: "dark", Cast: "true", Lab: colormath.Lab{L: 25.26}},
				Rank: 2, Score: 40, Reason: "Darker than every piece.", Ties: []string{"mid-warm"},
				Stats: contrast.Stats{
					DeltaL: colormath.Spread{P10: -34, P50: -20, P90: -5}, HyAB: colormath.Spread{P10: 7, P50: 22, P90: 36}, DE00: colormath.Spread{P10: 4, P50: 17, P90: 30},
					Merging: contrast.Merging{MergingShare: 1, Groups: 1, LargestShare: 1, Pieces: 1},
					Tiles:   []contrast.TileContrast{{DeltaL: -34.74, HyAB: 36.98, DE00: 30.1, Loses: true, Group: 1}, {DeltaL: -4.74, HyAB: 6.98, DE00: 4.05, Loses: true, Group: 1}}}},
		},
		Notes: []preview.Note{{Code: "no-bed", Text: "too little bed shows"}},
	}
}

// cannedFiles: pictures were written for the first shade only.
var cannedFiles = map[string]Files{"mid-warm": {Preview: "preview-mid-warm.jpg", Merged: "merged-mid-warm.png"}}
