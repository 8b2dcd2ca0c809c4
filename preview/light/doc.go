// Package light reads the light on the panel from the bed that shows in the
// gaps and round the tiles.
//
// It takes the photo (linear light), the segment.Map and what is known of the
// bed's colour, and gives a Field: the linear RGB that a perfect white lying at
// the height of the joint would have at each pixel. Fill multiplies a grout's
// reflectance by it, and contrast divides a tile's colour by it, so both see the
// same balanced light.
//
// The bottom of a gap lies in shadow and takes colour from the tiles beside it.
// Cured grout will lie less than a millimetre below the faces and be lit almost
// like them. So the field leans to the best-lit bed pixels; shadows are not
// averaged in.
//
// ReadLamp tells which part of the light comes from one side and how far shadows
// fall, from the shadows on open bed; the drawing stands the same lamp over the joint.
// (segment.Lamp is another, coarser reading, from the rims of the tiles, which the
// finder needs before it knows where the bed is.)
//
// A neutral card in the photo (ReadCard) gives a Balance for the whole picture,
// before anything else is read from it. It tells the light's colour only; how
// bright the light is and how it falls off stays the bed's to tell.
package light
