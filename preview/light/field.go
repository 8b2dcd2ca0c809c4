package light

import (
	"math"

	"gapshade/colormath"
)

// Field is the light over a picture: a level that varies and a colour that does
// not. The level's logarithm is a polynomial of second degree in the place: a
// lamp, a window and a lens's fall-off are that smooth over one panel; anything
// sharper is a shadow and stays in the picture where it is.
type Field struct {
	x0, y0, sx, sy float64    // (x−x0)·sx and (y−y0)·sy run over about −1…1 on the panel
	coef           [6]float64 // of the log level: 1, x, y, x², xy, y²
	colour         [3]float64 // R, G, B at level 1
}

// Even is a field of the same light everywhere.
func Even(c colormath.LinearRGB) *Field {
	return &Field{sx: 1, sy: 1, colour: [3]float64{c.R, c.G, c.B}}
}

// Middle is the place at the centre of the panel.
func (f *Field) Middle() (x, y float64) { return f.x0, f.y0 }

func basis(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }

// Level gives the level at one place, above zero.
func (f *Field) Level(x, y float64) float64 {
	return math.Exp(min(max(value(f.coef, (x-f.x0)*f.sx, (y-f.y0)*f.sy), -9), 3))
}

// At gives the light at one place: the linear RGB of a perfect white there.
func (f *Field) At(x, y float64) colormath.LinearRGB {
	l := f.Level(x, y)
	return colormath.LinearRGB{R: l * f.colour[0], G: l * f.colour[1], B: l * f.colour[2]}
}

// rowStep is the distance of the places where Row computes the level exactly;
// between them it draws straight lines, which at this smoothness is right to
// 1 in 10,000.
const rowStep = 16

// Row fills out with the level at pixels x0, x0+1, … of row y. The lines lie the same
// wherever a row begins.
func (f *Field) Row(y, x0 int, out []float32) {
	k := x0 % rowStep
	a := f.Level(float64(x0-k), float64(y))
	for i := 0; i < len(out); k = 0 {
		b := f.Level(float64(x0+i-k+rowStep), float64(y))
		for ; k < rowStep && i < len(out); i, k = i+1, k+1 {
			out[i] = float32(a + float64(k)/rowStep*(b-a))
		}
		a = b
	}
}

// scaled multiplies the light's colour, channel by channel.
func (f *Field) scaled(r, g, b float64) {
	f.colour[0], f.colour[1], f.colour[2] = f.colour[0]*r, f.colour[1]*g, f.colour[2]*b
}
