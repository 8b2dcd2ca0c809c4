// Package preview is the main job: one photo of a dry layout in, a ranked set
// of grout previews out.
//
//	photo.Photo ── segment.Find ──► segment.Map
//	     │                              │
//	     └──────── light.Measure ◄──────┤
//	                    │               │
//	               light.Field ─────────┤
//	                    │               │
//	     contrast.TileColours, Measure, Score ──► Trial (one per shade)
//	     grout.Fill ──► full-size pictures, drawn on demand
//
// A second photo on another paper goes to segment.Find beside the first, and no
// further: everything is drawn and measured in the first.
//
// Make is that diagram as a function. The makers below (photo, light, grout,
// contrast) never import this package; the showers beside it (sheet, report)
// do. Nothing here prints, opens a window or writes a file.
package preview
