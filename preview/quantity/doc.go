// Package quantity works out the rest of a grouting job from a few sizes: how
// much powder and water, which kind of grout, in which batches, on which clock,
// with which cautions.
//
// Make takes an Input (mm, mm², °C, shares 0…1) and gives a Plan (kg, litres,
// minutes from the moment the water meets the powder). The gap area comes from
// the measured gap mask, or from tile and joint sizes by exact geometry. Every
// figure and every sentence carries its Source: a published one, "common
// practice, no source", "from memory", or "our rule of thumb".
//
// It is pure arithmetic and tables: no clock on the wall, no file, no picture.
// The job sheet (package job), the report, the command and the page call it.
// What it prints defers to the bag, its safety sheet, local code and licensed
// practice, and says so first.
package quantity
