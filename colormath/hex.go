package colormath

import (
	"fmt"

	"github.com/lucasb-eyer/go-colorful"
)

// ParseHex reads a web colour, "#rrggbb" or "#rgb" with either case of digits,
// as sRGB and returns it in linear light. The error names the text and the
// form that is wanted.
//
// The reading is go-colorful's; its colour spaces are not used: its Lab is on a
// 0…1 scale under a white that differs from its own matrix, and its difference
// formula takes the way through sRGB, where near-greys change hue.
func ParseHex(s string) (LinearRGB, error) {
	c, err := colorful.Hex(s)
	if err != nil {
		return LinearRGB{}, fmt.Errorf("colour %q is not readable: write it as #rrggbb, for example #9a958c", s)
	}
	return LinearRGB{DecodeSRGB(c.R), DecodeSRGB(c.G), DecodeSRGB(c.B)}, nil
}

// Hex returns the nearest 8-bit sRGB colour as "#rrggbb" in lower case;
// channels outside 0…1 are clipped. [LinearRGB.InGamut] tells whether they
// were.
func (c LinearRGB) Hex() string {
	return fmt.Sprintf("#%02x%02x%02x", Encode8(float32(c.R)), Encode8(float32(c.G)), Encode8(float32(c.B)))
}
