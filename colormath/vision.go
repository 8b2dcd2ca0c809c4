package colormath

// Vision is how somebody sees colours.
type Vision string

// The visions: of all three kinds of cones, and without those for long, middle and
// short waves.
const (
	Normal Vision = "normal"
	Protan Vision = "protan"
	Deutan Vision = "deutan"
	Tritan Vision = "tritan"
)

// Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of
// color vision deficiency", IEEE TVCG 15, 1291, 2009, severity 1.0, linear sRGB.
var (
	protanMatrix = Matrix{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}
	deutanMatrix = Matrix{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}
)

// Brettel, Viénot and Mollon, "Computerized simulation of color appearance for
// dichromats", JOSA A 14, 2647, 1997, worked out for linear sRGB: two half planes,
// and on which side of the greys a colour lies. (Machado's model does not hold for
// tritans.)
var (
	tritanOne  = Matrix{{1.01277, 0.13548, -0.14826}, {-0.01243, 0.86812, 0.14431}, {0.07589, 0.80500, 0.11911}}
	tritanTwo  = Matrix{{0.93678, 0.18979, -0.12657}, {0.06154, 0.81526, 0.12320}, {-0.37562, 1.12767, 0.24796}}
	tritanSide = [3]float64{0.03901, -0.02788, -0.01113}
)

// Knows says whether the vision is one of the four.
func (v Vision) Knows() bool { return v == Normal || v == Protan || v == Deutan || v == Tritan }

// See gives the colour that looks to everybody as c looks to this vision, not
// clipped. Greys stay as they are. It is for looking at, not for measuring.
func (v Vision) See(c LinearRGB) LinearRGB {
	m := &tritanTwo
	switch v {
	case Protan:
		m = &protanMatrix
	case Deutan:
		m = &deutanMatrix
	case Tritan:
		if tritanSide[0]*c.R+tritanSide[1]*c.G+tritanSide[2]*c.B >= 0 {
			m = &tritanOne
		}
	default:
		return c
	}
	r, g, b := m.Apply(c.R, c.G, c.B)
	return LinearRGB{R: r, G: g, B: b}
}
