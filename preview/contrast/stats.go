package contrast

import "gapshade/colormath"

// TileContrast is one tile against one shade.
type TileContrast struct {
	DeltaL float64 // L* of the shade − L* of the tile: positive when the joint is lighter
	HyAB   float64 // |ΔL*| + √(Δa*² + Δb*²)
	DE00   float64 // CIEDE2000
	Loses  bool    // the tile has lost its outline under this shade
	Group  int     // number of the merged group, 1…; 0 when the tile stands alone
}

// Stats is one shade over the whole panel.
type Stats struct {
	DeltaL, HyAB, DE00 colormath.Spread // over tiles, each tile once

	MergingShare float64 // share of the tile area that has lost its outline, 0…1
	Groups       int     // groups of two or more neighbours that read as one
	LargestShare float64 // the largest group's share of the tile area, 0…1

	Tiles []TileContrast // Tiles[i] is tile number i+1
}
