package colormath

// Picture is a photo in linear light: sRGB/BT.709 primaries, D65, straight
// values, not clipped (a wide-gamut photo holds values below 0 and above 1).
// Pix is interleaved R, G, B, row by row, 3·W·H long. Pixel centres stand at
// whole numbers, x right, y down.
type Picture struct {
	W, H int
	Pix  []float32
}

// NewPicture returns a black picture of w × h pixels.
func NewPicture(w, h int) *Picture {
	return &Picture{W: w, H: h, Pix: make([]float32, 3*w*h)}
}

// At returns the colour of one pixel; x in 0…W−1, y in 0…H−1.
func (p *Picture) At(x, y int) LinearRGB {
	i := 3 * (y*p.W + x)
	return LinearRGB{float64(p.Pix[i]), float64(p.Pix[i+1]), float64(p.Pix[i+2])}
}

// Set writes the colour of one pixel; x in 0…W−1, y in 0…H−1.
func (p *Picture) Set(x, y int, c LinearRGB) {
	i := 3 * (y*p.W + x)
	p.Pix[i], p.Pix[i+1], p.Pix[i+2] = float32(c.R), float32(c.G), float32(c.B)
}
