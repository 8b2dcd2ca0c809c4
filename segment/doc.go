// Package segment separates tiles from gaps in one photo of a dry layout.
//
// What counts as gap is what grout will cover: the bed that shows between the
// tiles, and also the side walls and bevels that a camera still sees before
// grouting. That is why colour alone fails on real layouts (joints lie in
// shadow, tiles are lighter and darker than the bed, faces reflect in the
// gaps) and why the main evidence is a small network that knows shapes (package
// net). The method, stage by stage, is the body of Find:
//
//	view      the panel's window, reduced in linear light
//	evidence  the network's tile coverage, first coarse, then at the scale where
//	          a gap is a handful of pixels wide, told of the bed (openbed) where
//	          pieces carry pattern (own)
//	panel     the given corners, or the outline of what is laid
//	coverage  back to full resolution, edges as steep as a photo's
//	label     numbered tiles, specks dropped, holes closed
//	border    neighbours across each gap, and gap widths
//	check     is this plausible? confidence, or a refusal
//	sure      the same place by place
//
// Analyse keeps what was read, so that a person's strokes (gap here, tile there)
// correct the map in a few hundredths of a second: a stroke changes the network's
// answer where it was painted (paint, joint, along, grow), and coverage, tiles and borders
// are done again round it. Then the strokes teach (learn): the network looks again, told of
// them (marked), and places that look alike follow.
//
// With a second photo on another paper (Options.Second) the evidence is that of both:
//
//	lay       the second photo laid over the first by the texture of the whole
//	          picture, at its exposure (package pair); no tile has to be known
//	light     what the paper changed, pixel by pixel, and where that can be told
//	second    the network is shown both at once
//	combine   the light decides where it tells, the network where it doesn't
//	match     what the photos told about each other
//	moved     do all tiles lie where they lay? asked of each one's face
//	change    light that passes tiles
//	settle    edges go where the change begins
//
// It takes a colormath.Picture (linear light) and gives a Map in the same
// pixels. Lengths are pixels throughout; millimetres are the caller's business.
// Nothing here knows about file formats, grout or reports.
package segment
