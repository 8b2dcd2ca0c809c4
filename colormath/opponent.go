package colormath

// Opponent is a colour in the three planes of S-CIELAB: luminance, red–green,
// blue–yellow; see [Seen]. It is linear in light.
type Opponent [3]float64

var (
	rgbToOpponent = xyzToOpponent.Times(rgbToXYZ65)
	opponentToRGB = rgbToOpponent.Inverse()
)

// Opponent returns the colour in the three planes.
func (c LinearRGB) Opponent() Opponent {
	var o Opponent
	o[0], o[1], o[2] = rgbToOpponent.Apply(c.R, c.G, c.B)
	return o
}

// LinearRGB undoes [LinearRGB.Opponent].
func (o Opponent) LinearRGB() LinearRGB {
	r, g, b := opponentToRGB.Apply(o[0], o[1], o[2])
	return LinearRGB{r, g, b}
}

// Plane is one number per pixel, row by row, W·H long: an opponent plane of a
// picture, or a share. Pixel centres stand at whole numbers, x right, y down.
type Plane struct {
	W, H int
	V    []float32
}

// NewPlane returns a plane of zeros.
func NewPlane(w, h int) Plane { return Plane{w, h, make([]float32, w*h)} }

// Reduced returns the area means of w × h cells of equal size, which share out
// the pixels that they cut; no more cells than pixels.
func (p Plane) Reduced(w, h, threads int) Plane {
	r := plane{p.W, p.H, p.V}.reduce(min(w, p.W), min(h, p.H), threads)
	return Plane{r.w, r.h, r.v}
}

// Enlarged repeats every pixel f × f times, f 1 or more.
func (p Plane) Enlarged(f int) Plane {
	if f <= 1 {
		return p
	}
	out := NewPlane(f*p.W, f*p.H)
	for y := range out.H {
		for x := range out.W {
			out.V[y*out.W+x] = p.V[y/f*p.W+x/f]
		}
	}
	return out
}
