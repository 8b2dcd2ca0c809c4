package page

import (
	"image"
	"image/color"
	"math"
)

// inks are what marks are painted in. Where a tile has the colour of the first, the
// second is taken: marks in the photo's own colour are not seen (preview.OpenMarks).
var inks = map[string][2]color.RGBA{
	"gap":     {{0xff, 0, 0, 0xff}, {0xa0, 0, 0, 0xff}},
	"tile":    {{0, 0, 0xff, 0xff}, {0, 0, 0xa0, 0xff}},
	"outside": {{0, 0xff, 0, 0xff}, {0, 0xa0, 0, 0xff}},
}

// sameInk is the distance of codes from which an ink is surely seen on a tile;
// reading them takes 40 for the same.
const sameInk = 60

// paintMarks paints strokes on an empty picture of the photo's size, oldest first.
func paintMarks(ph *image.RGBA, strokes []stroke) *image.RGBA {
	out := image.NewRGBA(ph.Rect)
	for _, s := range strokes {
		ink := inks[s.Mark]
		for i, p := range s.Points {
			paintLine(out, ph, s.Points[max(i-1, 0)], p, s.Radius, ink)
		}
	}
	return out
}

// paintLine paints what a round brush covers between two places.
func paintLine(out, ph *image.RGBA, a, b point, r float64, ink [2]color.RGBA) {
	r = max(r, .75) // thinner than that, a line would miss the middles of pixels
	box := image.Rect(int(math.Floor(min(a[0], b[0])-r)), int(math.Floor(min(a[1], b[1])-r)),
		int(math.Ceil(max(a[0], b[0])+r))+1, int(math.Ceil(max(a[1], b[1])+r))+1).Intersect(out.Rect)
	dx, dy := b[0]-a[0], b[1]-a[1]
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			px, py, t := float64(x)-a[0], float64(y)-a[1], 0.0
			if l := dx*dx + dy*dy; l > 0 {
				t = min(max((px*dx+py*dy)/l, 0), 1)
			}
			if math.Hypot(px-t*dx, py-t*dy) <= r {
				out.SetRGBA(x, y, seenOn(ph.RGBAAt(x, y), ink))
			}
		}
	}
}

// seenOn is the ink that is seen on a colour.
func seenOn(c color.RGBA, ink [2]color.RGBA) color.RGBA {
	d := func(a, b uint8) float64 { return float64(a) - float64(b) }
	if first := ink[0]; math.Hypot(math.Hypot(d(c.R, first.R), d(c.G, first.G)), d(c.B, first.B)) > sameInk {
		return first
	}
	return ink[1]
}
