// Package score says how well a found map of tiles and gaps agrees with a known
// one. It takes plain slices, row by row, w·h long (coverage 0 tile … 255 gap,
// masks, tile numbers with 0 for "no tile"), and gives plain numbers: shares
// 0…1, or bits of information. Nothing is kept and nothing is changed.
//
//	gap.go       IoU, coverage error and area error of the gap
//	boundary.go  are the edges in the right place?
//	tiles.go     are the tiles counted, and each found as one?
//	table.go     one figure for all of splitting and merging
//
// No figure is enough alone. On gaps 6 px wide a perfect mask that is one pixel
// too fat all round loses a quarter of its IoU and nothing of its boundary F1;
// a single pixel missing between two tiles costs no IoU and one tile. The gap
// area is what the powder is ordered by, the boundary what the eye sees.
//
// Where a function takes a panel, only pixels with panel true count; a nil panel
// means the whole picture. Slices of different lengths are a mistake of the
// caller, and panic. The tests of package segment call this package, and so can
// a program that compares finders.
package score
