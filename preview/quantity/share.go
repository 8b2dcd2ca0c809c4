package quantity

// GapShare is the exact share, 0…1, of a rectangular grid of tiles l × w that
// is joint j: 1 − LW/((L+J)(W+J)). Lengths in one unit, above 0. It reproduces
// 31 of 31 rows of a maker's coverage chart with one density per kind.
func GapShare(l, w, j float64) float64 { return 1 - l*w/((l+j)*(w+j)) }

// TextbookShare is the share in the formula printed on many bags,
// (L+W)/(LW) × J. It counts every crossing twice and divides by the tile
// instead of tile and joint, so it is always too high: by 1.5 % for 300 mm
// tiles with 3 mm joints, by 31 % for 10 mm tiles with 2 mm. It can exceed 1.
func TextbookShare(l, w, j float64) float64 { return (l + w) / (l * w) * j }

// TilesPerM2 counts tiles l × w (mm) with joint j in a square metre of grid.
func TilesPerM2(l, w, j float64) float64 { return 1e6 / ((l + j) * (w + j)) }

// PerM2 is the powder, kg to 100 g, that a square metre of panel with this gap
// share takes in its joints, and the thickness, mm, that was taken for it. It is
// all that can be said while the panel's size is not known.
func (in Input) PerM2(share float64) (kg, thicknessMm float64) {
	thicknessMm, _ = in.thickness()
	return round(share*thicknessMm*DensityUnsanded, 1), thicknessMm // 1 m² × 1 mm is 1 litre
}

// Bounds of a believable measured gap share, ours: outside them the mask or the
// scale is more likely wrong than the work. Plausible are 9–17 % for 20 mm
// tiles with 1–2 mm joints and 17–31 % for 10 mm.
const (
	lowShare  = 0.03
	highShare = 0.45
)

// gapShare is the measured share, else the exact one of the grid.
func (in *Input) gapShare() float64 {
	if in.GapMm2 > 0 {
		return in.GapMm2 / in.PanelMm2
	}
	return GapShare(in.TileWMm, in.TileHMm, in.JointMm)
}

// checkShare warns of a share that is hard to believe. Wide tiles with thin
// joints are below the bound by right, so sizes are only held to the upper one.
func (in *Input) checkShare(share float64) []Remark {
	switch {
	case in.GapMm2 > 0 && share < lowShare:
		return []Remark{{"gap-share", line("The gaps are "+percent(share)+" of the panel, less than mosaics have: check the gap picture and the panel size.", Ours)}}
	case share > highShare:
		return []Remark{{"gap-share", line("The gaps are "+percent(share)+" of the panel, more than mosaics have: check the sizes, and the gap picture if there is one.", Ours)}}
	}
	return nil
}

// percent prints a share with the digits that can be trusted.
func percent(share float64) string {
	if share < 0.0995 {
		return trim(100*share, 1) + " %"
	}
	return trim(100*share, 0) + " %"
}
