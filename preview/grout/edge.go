package grout

import (
	"gapshade/colormath"
)

// mostlyTile: up to this share of grout the pixel's own colour, freed of the
// bed's share, tells the tile's colour best (it keeps bevel and glaze); from
// there to 1 the tile a little further in takes over, because little of the tile
// is left in the pixel.
const mostlyTile = 0.6

// edgePixel separates the tile's share of a mixed pixel. What the photo shows
// there is part tile and part old bed or side wall in shadow; left in, that part
// would stand as a rim round every tile under the new grout.
func (f *Fill) edgePixel(pic *colormath.Picture, x, y int, gap float32) edgePixel {
	e := edgePixel{x: uint16(x), gap: gap}
	p := pixel(pic, x, y)
	tile, bed := f.around(pic, x, y, p)
	inner := min(max((gap-mostlyTile)/(1-mostlyTile), 0), 1)
	for c := range p {
		// p = gap·bed + (1−gap)·tile, solved for the tile, and kept between
		// what is seen here and what is seen further in.
		own := (p[c] - gap*bed[c]) / max(1-gap, .05)
		own = min(max(own, min(p[c], tile[c])), max(p[c], tile[c]))
		e.tile[c] = own + inner*(tile[c]-own)
	}
	return e
}

// reach is how far the search for clean tile and clean bed goes, px.
const reach = 5

// What passes for clean, as coverage 0…255.
const cleanTile, cleanBed = 8, 247

// around averages the clean tile and the clean bed pixels near (x, y), near
// ones far more than far ones. Where there is none (a sliver of tile, a hairline
// gap) the pixel's own colour p stands in.
func (f *Fill) around(pic *colormath.Picture, x, y int, p [3]float32) (tile, bed [3]float32) {
	var sumT, sumB [4]float32
	for yy := max(y-reach, 0); yy <= min(y+reach, f.m.H-1); yy++ {
		row := f.m.Gap[yy*f.m.W : (yy+1)*f.m.W]
		for xx := max(x-reach, 0); xx <= min(x+reach, f.m.W-1); xx++ {
			sum := &sumT
			switch g := row[xx]; {
			case g >= cleanBed:
				sum = &sumB
			case g > cleanTile || f.m.Label[yy*f.m.W+xx] == 0:
				continue
			}
			d := float32((xx-x)*(xx-x)+(yy-y)*(yy-y)) + 1
			w := 1 / (d * d)
			q := pixel(pic, xx, yy)
			sum[0], sum[1], sum[2], sum[3] = sum[0]+w*q[0], sum[1]+w*q[1], sum[2]+w*q[2], sum[3]+w
		}
	}
	return mean(sumT, p), mean(sumB, p)
}

func mean(sum [4]float32, otherwise [3]float32) [3]float32 {
	if sum[3] == 0 {
		return otherwise
	}
	return [3]float32{sum[0] / sum[3], sum[1] / sum[3], sum[2] / sum[3]}
}

func pixel(pic *colormath.Picture, x, y int) [3]float32 {
	p := pic.Pix[3*(y*pic.W+x):]
	return [3]float32{p[0], p[1], p[2]}
}
