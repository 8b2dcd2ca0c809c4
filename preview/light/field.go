package light

import (
	"math"

	"gapshade/colormath"
)

// Field is the light over a picture: the logarithm of each channel is a
// polynomial of second degree in the place. A lamp, a window and a lens's
// fall-off are that smooth over one panel; anything sharper is a shadow and
// stays in the picture where it is.
type Field struct {
	x0, y0, sx, sy float64       // (x−x0)·sx and (y−y0)·sy run over about −1…1 on the panel
	coef           [3][6]float64 // per channel: 1, x, y, x², xy, y²
}

// Even is a field of the same light everywhere.
func Even(c colormath.LinearRGB) *Field {
	f := &Field{sx: 1, sy: 1}
	for k, v := range [3]float64{c.R, c.G, c.B} {
		f.coef[k][0] = math.Log(max(v, 1e-4))
	}
	return f
}

func basis(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }

// At gives the light at one place, linear RGB of a perfect white; always above
// zero.
func (f *Field) At(x, y float64) colormath.LinearRGB {
	b := basis((x-f.x0)*f.sx, (y-f.y0)*f.sy)
	var v [3]float64
	for c := range v {
		s := 0.0
		for k, q := range b {
			s += f.coef[c][k] * q
		}
		v[c] = math.Exp(min(max(s, -9), 3))
	}
	return colormath.LinearRGB{R: v[0], G: v[1], B: v[2]}
}

// rowStep is the distance of the places where Row computes the light exactly;
// between them it draws straight lines, which at this smoothness is right to
// 1 in 10,000.
const rowStep = 16

// Row fills out with R, G, B of the light for pixels x0 … x0+len(out)/3−1 of
// row y.
func (f *Field) Row(y, x0 int, out []float32) {
	n := len(out) / 3
	a := f.At(float64(x0), float64(y))
	for i := 0; i < n; i += rowStep {
		b := f.At(float64(x0+i+rowStep), float64(y))
		for k := 0; k < rowStep && i+k < n; k++ {
			t := float64(k) / rowStep
			o := out[3*(i+k):]
			o[0] = float32(a.R + t*(b.R-a.R))
			o[1] = float32(a.G + t*(b.G-a.G))
			o[2] = float32(a.B + t*(b.B-a.B))
		}
		a = b
	}
}

// scaled multiplies the whole field, channel by channel.
func (f *Field) scaled(r, g, b float64) {
	for c, v := range [3]float64{r, g, b} {
		f.coef[c][0] += math.Log(v)
	}
}
