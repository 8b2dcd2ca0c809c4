package grout

import "gapshade/colormath"

// Shade is one candidate grout, as it looks cured and dry.
type Shade struct {
	ID    string        // [a-z0-9-]+
	Depth string        // light, mid or dark
	Cast  string        // cool, true or warm
	Lab   colormath.Lab // D50/2°
}
