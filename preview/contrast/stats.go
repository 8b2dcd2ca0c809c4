package contrast

import "gapshade/colormath"

// TileContrast is one tile against one shade: the joint on the tile's outline,
// cured and dry, against the tile's core, both under the same light.
type TileContrast struct {
	DeltaL float64 // L* of the shade − L* of the tile: positive when the joint is lighter
	HyAB   float64 // |ΔL*| + √(Δa*² + Δb*²)
	DE00   float64 // CIEDE2000
	Loses  bool    // the tile has lost its outline under this shade
	Group  int     // number of the merged group, 1…; 0 when the tile stands alone
}

// Merging sums up which tiles read as one.
type Merging struct {
	MergingShare float64 // share of the tile area that has lost its outline, 0…1
	Groups       int     // groups of two or more neighbours that read as one
	Pieces       int     // distinct pieces left: every group counts once, as does every tile in none
	LargestShare float64 // the largest group's share of the tile area, 0…1
}

// Stats is one shade over the whole panel. Burnt-out tiles are in no sum.
type Stats struct {
	DeltaL, HyAB, DE00 colormath.Spread // over tiles, each tile once
	Merging
	Grid  float64       // how much the joints stand out as straight lines through the panel, 0…1
	Afar  colormath.Lab // the panel's mean colour, D50
	Shift float64       // how much lighter than the tiles alone that is, L*

	Tiles []TileContrast // Tiles[i] is tile number i+1
}
