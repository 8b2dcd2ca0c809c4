package report

import (
	"encoding/csv"
	"io"
	"strconv"

	"gapshade/preview"
)

// CSV writes contrast.csv (RFC 4180, lines end in CR LF): one row per tile and
// shade, by tile number, shades best first. x and y are the tile's centre in
// frame px; the area is in mm² under area_mm2 when the size is known, else in
// px² under area_px; merges is 1 when the tile has lost its outline; group is
// 0 for a tile that joins no neighbour. Ids hold a-z, 0-9 and "-" only, so no
// cell can be taken for a formula. Two decimals: the photo knows no more.
func CSV(w io.Writer, p *preview.Proof) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	area := "area_px"
	if p.Frame.MmPerPx > 0 {
		area = "area_mm2"
	}
	row := []string{"tile", "x", "y", area, "L", "a", "b", "shade", "delta_l", "hyab", "de00", "merges", "group"}
	if err := out.Write(row); err != nil {
		return err
	}
	for i, tile := range p.Map.Tiles {
		c := p.TileLab[i]
		row = append(row[:0], strconv.Itoa(i+1), decimal(tile.Centre.X, 1), decimal(tile.Centre.Y, 1),
			decimal(p.TileArea(i), 2), decimal(c.L, 2), decimal(c.A, 2), decimal(c.B, 2))
		for k := range p.Trials {
			if err := out.Write(append(row, against(&p.Trials[k], i)...)); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// against is the shade's part of a row.
func against(t *preview.Trial, tile int) []string {
	c := t.Tiles[tile]
	merges := "0"
	if c.Loses {
		merges = "1"
	}
	return []string{t.Shade.ID, decimal(c.DeltaL, 2), decimal(c.HyAB, 2), decimal(c.DE00, 2), merges, strconv.Itoa(c.Group)}
}

// decimal prints a fixed number of decimals, and never "-0.00".
func decimal(v float64, decimals int) string {
	return strconv.FormatFloat(round(v, decimals), 'f', decimals, 64)
}
