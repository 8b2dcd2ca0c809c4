package segment_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

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
	seed       uint64 // of the tiles' colours
}

func eighty() drawnPair {
	return drawnPair{w: 640, h: 520, cols: 10, rows: 8, tile: 48, gap: 8, clouds: .03, blur: .7, seed: 1}
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
	return d.smooth(u) * d.smooth(d.tile-u) * d.smooth(v) * d.smooth(d.tile-v), tile, u, v
}

// photo is the layout as eight bits show it. Paper lies a little in shadow beside the
// tiles.
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
			through := 0.
			if d.through != nil {
				through = d.through(tile)
			}
			c := tiles[tile]
			for k, own := range [3]float64{c.R, c.G, c.B} {
				light := share*(own*cloud+through*s.bed) + (1-share)*s.bed
				code := float64(colormath.Encode8(float32(s.exposure*light))) + math.Round(1.5*noise.NormFloat64())
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
	opt.Panel, opt.Second = d.panel(), asSecond(q, p)
	return finder(t).Find(t.Context(), p, opt)
}

const white, black = .85, .02

// How far a second photo is from where it should be, over the whole panel: a quarter
// of a pixel at most, for all that a touched tripod or a steady hand does.
func TestSecondPhotoIsLaidExactly(t *testing.T) {
	d := eighty()
	for name, c := range map[string]struct {
		first, second, exposure, clouds float64
		pose                            colormath.Homography
	}{
		"still":               {white, black, 1, .03, still},
		"shifted":             {white, black, 1.05, .03, turned(d.w, d.h, 0, 1, 6.3, -5.6)},
		"turned":              {white, black, .95, .03, turned(d.w, d.h, 2, 1, -3.4, 2.2)},
		"nearer":              {black, white, 1.05, .03, turned(d.w, d.h, -.5, 1.015, 1.5, 1.5)},
		"faces without grain": {white, black, 1.05, 0, turned(d.w, d.h, .5, 1, 2.5, -1.7)},
		"tilted":              {black, white, 1, .03, colormath.Homography{1.002, .004, -2, -.003, .998, 1, 4e-6, -3e-6, 1}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := d
			d.clouds = c.clouds
			m, err := d.find(t, shot{c.first, still, 1, 1}, shot{c.second, c.pose, c.exposure, 2}, segment.Options{})
			require.NoError(t, err)
			off := offPx(m.Pair.ToPicture, c.pose, d.panel())
			t.Log(off, m.Pair, m.GapShare, len(m.Tiles))
		})
	}
}
