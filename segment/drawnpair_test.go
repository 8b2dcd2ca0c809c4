package segment_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gapshade/colormath"
	"gapshade/segment"
)

// drawnPair is a layout of flat tiles that can be photographed again and again: on
// another paper, from another place, with some tiles moved. Every edge is known to any
// fraction of a pixel.
type drawnPair struct {
	w, h       int
	cols, rows int
	tile, gap  float64 // px
	clouds     float64 // how much a glaze varies within a tile, as a share
	blur       float64 // of the lens, standard deviation, px
	through    func(tile int) float64
	moved      func(tile int) (dx, dy float64)
	paint      func(tile int, u, v float64) float64 // what a face throws back of its colour, by place; nil: all
	missing    func(tile int) bool
	seed       uint64 // of the tiles' colours
}

// sixtyThree is 9 × 7 tiles of 40 px with gaps of 8 px: 432 × 336 px.
func sixtyThree() drawnPair {
	return drawnPair{w: 480, h: 400, cols: 9, rows: 7, tile: 40, gap: 8, clouds: .03, blur: .7, seed: 1}
}

// shot is how one photo was taken.
type shot struct {
	bed      float64 // reflectance of the paper
	pose     colormath.Homography
	exposure float64
	noise    uint64 // its seed
}

var still = colormath.Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}

// origin is the place of the panel's top-left corner.
func (d drawnPair) origin() (x, y float64) {
	pitch := d.tile + d.gap
	return (float64(d.w-1) - pitch*float64(d.cols)) / 2, (float64(d.h-1) - pitch*float64(d.rows)) / 2
}

func (d drawnPair) panel() *segment.Quad {
	x, y := d.origin()
	X, Y := float64(d.w-1)-x, float64(d.h-1)-y
	return &segment.Quad{{X: x, Y: y}, {X: X, Y: y}, {X: X, Y: Y}, {X: x, Y: Y}}
}

// smooth is a step as the lens shows it.
func (d drawnPair) smooth(at float64) float64 { return .5 * (1 + math.Erf(at/(d.blur*math.Sqrt2))) }

// at says how much of a tile shows at a place of the first photo, and of which.
func (d drawnPair) at(x, y float64) (share float64, tile int, u, v float64) {
	x0, y0 := d.origin()
	pitch := d.tile + d.gap
	c, r := math.Floor((x-x0)/pitch), math.Floor((y-y0)/pitch)
	if c < 0 || r < 0 || c >= float64(d.cols) || r >= float64(d.rows) {
		return 0, 0, 0, 0
	}
	tile = int(r)*d.cols + int(c)
	u, v = x-x0-c*pitch-d.gap/2, y-y0-r*pitch-d.gap/2
	if d.moved != nil {
		dx, dy := d.moved(tile)
		u, v = u-dx, v-dy
	}
	if d.missing != nil && d.missing(tile) {
		return 0, tile, u, v
	}
	return d.smooth(u) * d.smooth(d.tile-u) * d.smooth(v) * d.smooth(d.tile-v), tile, u, v
}

// photo is the layout as eight bits show it, with noise of one code.
func (d drawnPair) photo(s shot) *colormath.Picture {
	colours := rand.New(rand.NewPCG(d.seed, 1))
	tiles := make([]colormath.LinearRGB, d.cols*d.rows)
	for i := range tiles {
		tiles[i] = colormath.LinearRGB{R: .1 + .4*colours.Float64(), G: .1 + .4*colours.Float64(), B: .1 + .4*colours.Float64()}
	}
	back, _ := s.pose.Inverse()
	noise := rand.New(rand.NewPCG(s.noise, 2))
	pic := colormath.NewPicture(d.w, d.h)
	for y := range d.h {
		for x := range d.w {
			fx, fy := back.Apply(float64(x), float64(y))
			share, tile, u, v := d.at(fx, fy)
			cloud := 1 + d.clouds*(math.Sin(u/5+float64(tile))+math.Sin(v/7+3*float64(tile)))
			if d.paint != nil {
				cloud *= d.paint(tile, u, v)
			}
			through := 0.
			if d.through != nil {
				through = d.through(tile)
			}
			c := tiles[tile]
			for k, own := range [3]float64{c.R, c.G, c.B} {
				light := share*(own*cloud+through*s.bed) + (1-share)*s.bed
				code := float64(colormath.Encode8(float32(s.exposure*light))) + math.Round(noise.NormFloat64())
				pic.Pix[3*(y*d.w+x)+k] = colormath.Decode8(uint8(min(max(code, 0), 255)))
			}
		}
	}
	return pic
}

// find lays the second photo over the first.
func (d drawnPair) find(t *testing.T, first, second shot, opt segment.Options) (*segment.Map, error) {
	t.Helper()
	a := d
	a.moved = nil // the first photo is the layout as it was laid
	p, q := a.photo(first), d.photo(second)
	opt.Panel, opt.Second, opt.GapPx = d.panel(), asSecond(q, p), d.gap
	return finder(t).Find(t.Context(), p, opt)
}

// Reflectances of the papers.
const white, black = .85, .02

// edgeErrors measures how far each found edge lies from the drawn one, px, negative
// where the gap came out too wide: on each side of each tile at five places in the
// middle half.
func (d drawnPair) edgeErrors(m *segment.Map) (out []float64) {
	x0, y0 := d.origin()
	for r := range d.rows {
		for c := range d.cols {
			u, v := x0+float64(c)*(d.tile+d.gap)+d.gap/2, y0+float64(r)*(d.tile+d.gap)+d.gap/2
			for k := range 5 {
				a := d.tile * (.25 + .125*float64(k))
				out = append(out,
					halfway(m, u, v+a, -1, 0), halfway(m, u+d.tile, v+a, 1, 0),
					halfway(m, u+a, v, 0, -1), halfway(m, u+a, v+d.tile, 0, 1))
			}
		}
	}
	return out
}

// halfway is how far along (dx, dy) from (x, y) the coverage passes a half, px; 9 when
// it doesn't within four.
func halfway(m *segment.Map, x, y, dx, dy float64) float64 {
	const step = .125
	last := 0.
	for d := -4.; d <= 4; d += step {
		g := coverageAt(m, x+d*dx, y+d*dy)
		if g >= .5 && d > -4 {
			return d - step*(g-.5)/max(g-last, 1e-9)
		}
		last = g
	}
	return 9
}

// coverageAt reads the gap coverage between pixel centres, 0…1.
func coverageAt(m *segment.Map, x, y float64) float64 {
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	g := func(i, j int) float64 { return float64(m.Gap[j*m.W+i]) / 255 }
	return (g(i, j)*(1-fx)+g(i+1, j)*fx)*(1-fy) + (g(i, j+1)*(1-fx)+g(i+1, j+1)*fx)*fy
}
