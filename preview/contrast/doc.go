// Package contrast says how each tile stands against the joint.
//
// It takes the photo (linear light), the segment.Map and the light.Field, reads
// every tile's own colour (CIELAB D50/2°, under the balanced light), and for each
// shade gives the differences, the tiles that lose their outline, the groups of
// neighbours that read as one, and a rank for what the person wants.
//
// Grout against tile is a large difference seen across an edge. CIEDE2000 was
// fitted to small differences between large fields in edge contact; it is given
// as the standard number, but HyAB and ΔL* lead.
package contrast
