package segment

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// painted makes a picture of a formula.
func painted(w, h int, colour func(x, y int) (r, g, b float64)) *colormath.Picture {
	p := colormath.NewPicture(w, h)
	for y := range h {
		for x := range w {
			r, g, b := colour(x, y)
			p.Set(x, y, colormath.LinearRGB{R: r, G: g, B: b})
		}
	}
	return p
}

// A filter may not brighten or darken, and may not read past the end.
func TestTapsSumToOne(t *testing.T) {
	for _, n := range []int{1, 2, 3, 7, 100, 641} {
		for _, m := range []int{1, 2, 3, 5, 64, 100, 199, 1000} {
			taps := newTaps(n, m)
			require.Len(t, taps.weight, m)
			for i, ws := range taps.weight {
				var sum float64
				for _, w := range ws {
					assert.GreaterOrEqual(t, w, float32(0))
					sum += float64(w)
				}
				assert.InDelta(t, 1, sum, 1e-5, "%d to %d, sample %d", n, m, i) // float32 weights
				assert.GreaterOrEqual(t, taps.start[i], 0)
				assert.LessOrEqual(t, taps.start[i]+len(ws), n)
			}
		}
	}
}

// When reducing, every input sample counts the same in all: means are kept.
func TestTapsCountEveryInputAlike(t *testing.T) {
	for _, s := range [][2]int{{7, 7}, {100, 50}, {100, 37}, {641, 64}, {3, 1}} {
		n, m := s[0], s[1]
		taps := newTaps(n, m)
		share := make([]float64, n)
		for i, ws := range taps.weight {
			for k, w := range ws {
				share[taps.start[i]+k] += float64(w)
			}
		}
		for _, v := range share {
			assert.InDelta(t, float64(m)/float64(n), v, 1e-5, "%d to %d", n, m)
		}
	}
}

// By hand.
func TestTapsByHand(t *testing.T) {
	third := newTaps(6, 2)
	assert.Equal(t, []int{0, 3}, third.start)
	assert.InDeltaSlice(t, []float32{1. / 3, 1. / 3, 1. / 3}, third.weight[1], 1e-7)
	// 3 to 2: the middle sample is shared
	odd := newTaps(3, 2)
	assert.InDeltaSlice(t, []float32{2. / 3, 1. / 3}, odd.weight[0], 1e-7)
	assert.InDeltaSlice(t, []float32{1. / 3, 2. / 3}, odd.weight[1], 1e-7)
	// 2 to 4: output centres lie at −.25, .25, .75, 1.25 of the input
	double := newTaps(2, 4)
	assert.InDeltaSlice(t, []float32{.75, .25}, double.weight[1], 1e-7)
	assert.InDeltaSlice(t, []float32{.25, .75}, double.weight[2], 1e-7)
}

var scales = []float64{.1, .25, 1. / 3, .5, .77, 1, 1.3, 2}

func TestAFlatPictureStaysFlat(t *testing.T) {
	pic := painted(53, 41, func(int, int) (r, g, b float64) { return .2, .5, .9 })
	for _, s := range scales {
		v := newView(pic, window{5, 3, 44, 30}, s, 1)
		require.Len(t, v.lin, 3*v.w*v.h)
		for i := 0; i < len(v.lin); i += 3 {
			require.InDeltaSlice(t, []float32{.2, .5, .9}, v.lin[i:i+3], 1e-5, "scale %v", s)
		}
	}
}

// Light is averaged as light: a reduced picture is as bright as the window was.
func TestReducingKeepsTheMean(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	pic := painted(90, 70, func(int, int) (r, g, b float64) { return rng.Float64(), 0, 0 })
	win := window{11, 7, 70, 50}
	want := 0.
	for y := win.y0; y < win.y0+win.h; y++ {
		for x := win.x0; x < win.x0+win.w; x++ {
			want += pic.At(x, y).R / float64(win.w*win.h)
		}
	}
	for _, s := range []float64{.1, .25, .5, .77, 1} {
		v, got := newView(pic, win, s, 1), 0.
		for i := 0; i < len(v.lin); i += 3 {
			got += float64(v.lin[i]) / float64(v.w*v.h)
		}
		assert.InDelta(t, want, got, 1e-5, "scale %v", s)
	}
}

// At scale 1 the view is the window, pixel by pixel.
func TestViewAtFullSizeIsTheWindow(t *testing.T) {
	pic := painted(20, 15, func(x, y int) (r, g, b float64) { return float64(x), float64(y), float64(x * y) })
	v := newView(pic, window{4, 2, 9, 8}, 1, 1)
	for y := range v.h {
		for x := range v.w {
			c := pic.At(x+4, y+2)
			i := 3 * (y*v.w + x)
			assert.InDeltaSlice(t, []float32{float32(c.R), float32(c.G), float32(c.B)}, v.lin[i:i+3], 1e-6)
		}
	}
}

// A ramp shows whether view and picture lie where toFull says: the value of a
// view pixel must be the ramp's at its place. Straight lines between neighbours
// leave a ramp as it is, and so do averages of whole pixels; where a box ends
// inside a pixel, at share f of it, its mean is off by f(1−f)/2 over the box's
// width, an eighth at most. The rim is left out where the enlarged view runs past
// the last pixel centre.
func TestViewPixelsLieWhereToFullSays(t *testing.T) {
	pic := painted(90, 80, func(x, y int) (r, g, b float64) { return float64(x), float64(y), 0 })
	for _, s := range scales {
		v := newView(pic, window{6, 9, 72, 60}, s, 1)
		tol := 1e-4
		if s < 1 && (72%v.w > 0 || 60%v.h > 0) {
			tol += s / 8
		}
		for y := range v.h {
			for x := range v.w {
				fx, fy := v.toFull(float64(x), float64(y))
				if fx < 6 || fy < 9 || fx > 77 || fy > 68 {
					continue
				}
				i := 3 * (y*v.w + x)
				require.InDelta(t, fx, v.lin[i], tol, "scale %v", s)
				require.InDelta(t, fy, v.lin[i+1], tol, "scale %v", s)
			}
		}
	}
}

func TestToViewUndoesToFull(t *testing.T) {
	v := newView(colormath.NewPicture(101, 67), window{7, 5, 83, 50}, .37, 1)
	for _, p := range [][2]float64{{0, 0}, {3.25, 9.5}, {-2, 40}} {
		x, y := v.toView(v.toFull(p[0], p[1]))
		assert.InDelta(t, p[0], x, 1e-9)
		assert.InDelta(t, p[1], y, 1e-9)
	}
	x, y := v.toFull(-.5, -.5) // outer corner to outer corner
	assert.InDelta(t, 6.5, x, 1e-9)
	assert.InDelta(t, 4.5, y, 1e-9)
}

func TestEncodedIsPlanesOfSRGB(t *testing.T) {
	pic := painted(2, 1, func(x, _ int) (r, g, b float64) { return float64(x), .2140, -.3 + 2*float64(x) })
	got := newView(pic, window{0, 0, 2, 1}, 1, 1).encoded(1)
	// .2140 is sRGB .5, code 127 or 128; what lies outside 0…1 is clipped
	assert.InDeltaSlice(t, []float32{0, 1, .5, .5, 0, 1}, got, .5/255+1e-6)
}

func TestViewIsTheSameForAnyNumberOfThreads(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	pic := painted(61, 47, func(int, int) (r, g, b float64) { return rng.Float64(), rng.Float64(), rng.Float64() })
	want := newView(pic, window{0, 0, 61, 47}, .4, 1)
	for _, threads := range []int{2, 3, 5, 64} {
		got := newView(pic, window{0, 0, 61, 47}, .4, threads)
		assert.Equal(t, want, got)
		assert.Equal(t, want.encoded(1), got.encoded(threads))
	}
}

// The window is the panel and some more, and never leaves the picture.
func TestWindowHoldsThePanel(t *testing.T) {
	pic := colormath.NewPicture(200, 100)
	assert.Equal(t, window{0, 0, 200, 100}, Options{}.window(pic))
	in := Options{Panel: &Quad{{50, 30}, {150, 32}, {149, 70}, {52, 71}}}.window(pic)
	assert.Less(t, in.x0, 50)
	assert.Less(t, in.y0, 30)
	assert.Greater(t, in.x0+in.w, 151)
	assert.Greater(t, in.y0+in.h, 72)
	for name, q := range map[string]Quad{
		"larger":    {{-50, -40}, {250, -40}, {250, 140}, {-50, 140}},
		"off right": {{300, 10}, {400, 10}, {400, 90}, {300, 90}},
		"off above": {{10, -90}, {90, -90}, {90, -20}, {10, -20}},
	} {
		w := Options{Panel: &q}.window(pic)
		assert.Positive(t, w.w, name)
		assert.Positive(t, w.h, name)
		assert.GreaterOrEqual(t, min(w.x0, w.y0), 0, name)
		assert.LessOrEqual(t, w.x0+w.w, 200, name)
		assert.LessOrEqual(t, w.y0+w.h, 100, name)
	}
}
