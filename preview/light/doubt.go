package light

import (
	"math"

	"gapshade/colormath"
)

// labDoubt is how far the bed's own colour may be from what was said, in each of
// L*, a* and b*: two sheets of office paper differ by as much.
const labDoubt = 1.0

// Doubt says by what the tiles' reflectances would change if the bed, given as
// Lab, were a little different: one pair of factors, one way and the other, for
// each of L*, a* and b*. Without a known bed (nil) nothing tells the strength of
// the light but the photo's exposure; the first pair is then half of what that is
// seldom off by, and the others are for white paper.
func Doubt(bed *colormath.Lab) [][2]colormath.LinearRGB {
	at := colormath.Lab{L: 93}
	if bed != nil {
		at = *bed
	}
	out := make([][2]colormath.LinearRGB, 3)
	for i := range out {
		for k, sign := range [2]float64{1, -1} {
			c := at
			switch i {
			case 0:
				c.L += sign * labDoubt
			case 1:
				c.A += sign * labDoubt
			default:
				c.B += sign * labDoubt
			}
			out[i][k] = gain(at, c)
		}
	}
	if bed == nil {
		up, down := 1+exposure/2, 1/(1+exposure/2)
		out[0] = [2]colormath.LinearRGB{{R: up, G: up, B: up}, {R: down, G: down, B: down}}
	}
	return out
}

// gain is what the tiles' reflectances are multiplied by when the bed is not said
// but other: the light is taken as what the bed shows over its reflectance, and its
// level as far as such a bed tells it (Field.steady).
func gain(said, other colormath.Lab) colormath.LinearRGB {
	a, b := reflectance(said), reflectance(other)
	y := b.Luminance() / a.Luminance()
	level := math.Pow(y, trust(a.Luminance())) / y
	return colormath.LinearRGB{R: level * b.R / a.R, G: level * b.G / a.G, B: level * b.B / a.B}
}

// reflectance keeps a least light in every channel: of a bed near black no
// quotient could be told.
func reflectance(c colormath.Lab) colormath.LinearRGB {
	v := c.LinearRGB()
	return colormath.LinearRGB{R: max(v.R, .002), G: max(v.G, .002), B: max(v.B, .002)}
}
