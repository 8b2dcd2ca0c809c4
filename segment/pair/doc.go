// Package pair lays a second photo of a layout over the first: the same tiles on
// another paper, so that whatever changes is bed and whatever stays is tile.
//
// It works on planes, one number per pixel, and gives homographies in pixels and
// shares 0…1. In the order in which they are used:
//
//	near.go      a rough search by the net of edges, which shows on any paper
//	climb.go     from there to a fraction of a pixel, step by step downhill
//	settle.go    the last tenths of a pixel by what both photos show alike
//	exposure.go  the second photo's exposure, by all that no paper changed
//	faces.go     how a patterned face lies, by its pattern
//	shifts.go    how a plain tile lies, by its outline
//	plane.go     the plane and what is done to it
//
// White paper turns into black between two photos, and gaps with it, so nothing
// here compares brightness across an edge: edges are compared as such, and
// brightness only inside the faces of tiles.
//
// Package segment calls it; only shifts.go takes the network's coverage of both photos.
package pair
