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

// Pictures without joints. They are 480 × 360, so that the first look already
// enlarges them; none may be taken for a layout.
const refusedW, refusedH = 480, 360

// noise multiplies a picture by the grain of a camera.
func noise(pic *colormath.Picture, sigma float64) *colormath.Picture {
	rng := rand.New(rand.NewPCG(6, 28))
	for i := range pic.Pix {
		pic.Pix[i] *= float32(max(0, 1+sigma*rng.NormFloat64()))
	}
	return pic
}

func wall() *colormath.Picture {
	return noise(painted(refusedW, refusedH, func(x, y int) (r, g, b float64) {
		v := .5 + .1*float64(x)/refusedW // a window on the right
		return v, .95 * v, .85 * v
	}), .02)
}

func sky() *colormath.Picture {
	return noise(painted(refusedW, refusedH, func(_, y int) (r, g, b float64) {
		s := float64(y) / refusedH
		return .15 + .5*s, .3 + .4*s, .7 + .1*s
	}), .01)
}

func whiteNoise() *colormath.Picture {
	rng := rand.New(rand.NewPCG(1, 61))
	return painted(refusedW, refusedH, func(int, int) (r, g, b float64) {
		return rng.Float64(), rng.Float64(), rng.Float64()
	})
}

// chequer is a painted board: squares of 40 px side by side, edges as soft as a
// lens makes them.
func chequer(a, b [3]float64) *colormath.Picture {
	soft := func(v int) float64 { // −1…1, square wave with a ramp of 2 px
		u := math.Mod(float64(v)+7.3, 80)
		return min(max(40-math.Abs(u-40)-20, -1), 1)
	}
	return noise(painted(refusedW, refusedH, func(x, y int) (r, g, bl float64) {
		s := .5 + .5*soft(x)*soft(y)
		return a[0] + s*(b[0]-a[0]), a[1] + s*(b[1]-a[1]), a[2] + s*(b[2]-a[2])
	}), .02)
}

// gravel is a heap of stones of all sizes: later ones lie on earlier ones, each
// rounded by the light and with its own grey.
func gravel() *colormath.Picture {
	rng := rand.New(rand.NewPCG(20, 24))
	pic := painted(refusedW, refusedH, func(int, int) (r, g, b float64) { return .04, .035, .03 })
	for range 4000 {
		cx, cy := rng.Float64()*refusedW, rng.Float64()*refusedH
		r := 3 + 14*rng.Float64()*rng.Float64()
		squash, turn := .55+.45*rng.Float64(), math.Pi*rng.Float64()
		shade, warm := .08+.5*rng.Float64()*rng.Float64(), .8+.2*rng.Float64()
		stone(pic, cx, cy, r, squash, turn, [3]float64{shade, shade * (warm + 1) / 2, shade * warm})
	}
	return noise(pic, .08)
}

func stone(pic *colormath.Picture, cx, cy, r, squash, turn float64, c [3]float64) {
	s, k := math.Sincos(turn)
	for y := max(0, int(cy-r)); y <= min(pic.H-1, int(cy+r)+1); y++ {
		for x := max(0, int(cx-r)); x <= min(pic.W-1, int(cx+r)+1); x++ {
			dx, dy := float64(x)-cx, float64(y)-cy
			u, v := (k*dx+s*dy)/r, (k*dy-s*dx)/(r*squash)
			d := u*u + v*v
			if d > 1 {
				continue
			}
			light := max(.15, math.Sqrt(1-d)*.8-.3*dx/r-.3*dy/r+.2) // from the top left
			pic.Set(x, y, colormath.LinearRGB{R: c[0] * light, G: c[1] * light, B: c[2] * light})
		}
	}
}

func TestNoGapsWhereThereAreNone(t *testing.T) {
	f := realFinder(t)
	for name, pic := range map[string]*colormath.Picture{
		"blank wall":           wall(),
		"sky":                  sky(),
		"noise":                whiteNoise(),
		"black":                colormath.NewPicture(refusedW, refusedH),
		"white and black":      chequer([3]float64{.8, .8, .8}, [3]float64{.04, .04, .04}),
		"cream and red":        chequer([3]float64{.7, .62, .45}, [3]float64{.35, .04, .03}),
		"red and blue chequer": chequer([3]float64{.6, .1, .1}, [3]float64{.1, .1, .5}),
		"gravel":               gravel(),
	} {
		t.Run(name, func(t *testing.T) {
			m, err := f.Find(context.Background(), pic, Options{})
			var no *NoGapsError
			require.ErrorAs(t, err, &no)
			assert.Nil(t, m)
			assert.Less(t, no.Confidence, .5)
			assert.Greater(t, len(no.Why), 20, "a sentence that says what was seen")
		})
	}
}

// Corners given by hand don't make joints of nothing.
func TestNoGapsInsideGivenCorners(t *testing.T) {
	f := realFinder(t)
	q := &Quad{{20, 20}, {460, 25}, {455, 340}, {25, 335}}
	for name, pic := range map[string]*colormath.Picture{
		"blank wall":      wall(),
		"white and black": chequer([3]float64{.8, .8, .8}, [3]float64{.04, .04, .04}),
		"gravel":          gravel(),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := f.Find(context.Background(), pic, Options{Panel: q})
			assert.ErrorAs(t, err, new(*NoGapsError))
		})
	}
}
