package segment

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// flat is a layout of thin flat tiles, turned a little, as a phone of twelve
// megapixels sees it: no walls, so that what grout will cover is what is seen,
// and every edge is known to any fraction of a pixel.
type flat struct {
	w, h       int
	cols, rows int
	tile, gap  float64 // px
	turn       float64 // radians
	blur       float64 // of the lens, standard deviation, px
}

// local takes picture px to px along the rows and columns of tiles.
func (f flat) local(x, y float64) (u, v float64) {
	s, c := math.Sincos(f.turn)
	x, y = x-float64(f.w)/2, y-float64(f.h)/2
	return c*x + s*y + float64(f.cols)*(f.tile+f.gap)/2, c*y - s*x + float64(f.rows)*(f.tile+f.gap)/2
}

func (f flat) picturePoint(u, v float64) Point {
	s, c := math.Sincos(f.turn)
	u, v = u-float64(f.cols)*(f.tile+f.gap)/2, v-float64(f.rows)*(f.tile+f.gap)/2
	return Point{c*u - s*v + float64(f.w)/2, s*u + c*v + float64(f.h)/2}
}

// along is how much tile the lens sees at u.
func (f flat) along(u float64, n int) float64 {
	pitch := f.tile + f.gap
	k := min(max(math.Floor(u/pitch), 0), float64(n-1))
	a := u - k*pitch - f.gap/2
	step := func(d float64) float64 { return .5 * (1 + math.Erf(d/(f.blur*math.Sqrt2))) }
	return step(a) * step(f.tile-a)
}

func (f flat) picture(bed colormath.LinearRGB) *colormath.Picture {
	rng := rand.New(rand.NewPCG(12, 34))
	shade := make([]float64, f.cols*f.rows)
	for i := range shade {
		shade[i] = .15 + .25*rng.Float64()
	}
	pic := colormath.NewPicture(f.w, f.h)
	for y := range f.h {
		for x := range f.w {
			u, v := f.local(float64(x), float64(y))
			t := f.along(u, f.cols) * f.along(v, f.rows)
			c, r := int(u/(f.tile+f.gap)), int(v/(f.tile+f.gap))
			s := shade[min(max(r, 0), f.rows-1)*f.cols+min(max(c, 0), f.cols-1)]
			grain := 1 + .015*rng.NormFloat64()
			pic.Set(x, y, colormath.LinearRGB{
				R: grain * (bed.R + t*(s-bed.R)), G: grain * (bed.G + t*(.8*s-bed.G)), B: grain * (bed.B + t*(.6*s-bed.B))})
		}
	}
	return pic
}

// errors measures how far each found edge lies from the drawn one, px, positive
// where the tile came out too large: on each side of each tile at five places in
// the middle half.
func (f flat) errors(m *Map) []float64 {
	var out []float64
	for r := range f.rows {
		for c := range f.cols {
			u0, v0 := float64(c)*(f.tile+f.gap)+f.gap/2, float64(r)*(f.tile+f.gap)+f.gap/2
			for k := range 5 {
				along := f.tile * (.25 + .125*float64(k))
				for side := range 4 {
					at := func(d float64) Point { // d px outside this side
						switch side {
						case 0:
							return f.picturePoint(u0-d, v0+along)
						case 1:
							return f.picturePoint(u0+f.tile+d, v0+along)
						case 2:
							return f.picturePoint(u0+along, v0-d)
						}
						return f.picturePoint(u0+along, v0+f.tile+d)
					}
					out = append(out, halfway(m, at))
				}
			}
		}
	}
	return out
}

// halfway is where the coverage passes a half, in px outwards; ±9 when nowhere.
func halfway(m *Map, at func(d float64) Point) float64 {
	const step = .125
	last := 0.
	for d := -9.; d <= 9; d += step {
		p := at(d)
		g := m.gapAt(p.X, p.Y)
		if g >= .5 && d > -9 {
			return d - step*(g-.5)/max(g-last, 1e-9)
		}
		last = g
	}
	return 9
}

// At twelve megapixels joints are wide and the network looks at a reduced view.
// The edge must still be right to half a pixel of the photo, nine times in ten.
// (By the network alone that figure was 0.9 to 1.6 px.)
func TestEdgeAtTwelveMegapixels(t *testing.T) {
	beds := map[float64]colormath.LinearRGB{14: {R: .02, G: .02, B: .02}, 40: {R: .82, G: .82, B: .8}}
	for gap, bed := range beds {
		f := flat{w: 4000, h: 3000, cols: 12, rows: 9, tile: 300 - gap, gap: gap, turn: .03, blur: 1.2}
		q := &Quad{f.picturePoint(0, 0), f.picturePoint(3600, 0), f.picturePoint(3600, 2700), f.picturePoint(0, 2700)}
		m, err := realFinder(t).Find(context.Background(), f.picture(bed), Options{Panel: q})
		require.NoError(t, err)
		require.Len(t, m.Tiles, f.cols*f.rows)
		var off []float64
		sum := 0.
		for _, e := range f.errors(m) {
			off = append(off, math.Abs(e))
			sum += e
		}
		s := colormath.SpreadOf(off)
		t.Logf("gap %.0f px: mean %+.2f px, off by %.2f, %.2f, %.2f px", gap, sum/float64(len(off)), s.P10, s.P50, s.P90)
		assert.LessOrEqual(t, s.P90, .5)
		assert.InDelta(t, 0, sum/float64(len(off)), .1)
	}
}
