package pair

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// painted is a plane of a function of the place.
func painted(w, h int, value func(x, y float64) float64) *Plane {
	p := NewPlane(w, h)
	for y := range h {
		for x := range w {
			p.V[y*w+x] = float32(value(float64(x), float64(y)))
		}
	}
	return p
}

// mosaic is a course of tiles of random brightness with soft edges on a bed; h says
// where the camera stood.
func mosaic(w, h int, bed float64, pose colormath.Homography) *Plane {
	back, _ := pose.Inverse()
	return painted(w, h, func(x, y float64) float64 {
		x, y = back.Apply(x, y)
		c, r := math.Floor(x/31), math.Floor(y/23)
		if math.Mod(r, 2) != 0 {
			x += 15
			c = math.Floor(x / 31)
		}
		u, v := x-31*c, y-23*r
		inside := min(u-3, 28-u, v-3, 20-v)
		if x < 40 || y < 30 || x > float64(w)-40 || y > float64(h)-30 {
			inside = -9
		}
		k := 1 / (1 + math.Exp(-2*inside))
		tile := .1 + .6*rand.New(rand.NewPCG(uint64(int64(c)+1000), uint64(int64(r)+1000))).Float64()
		return bed + k*(tile-bed)
	})
}

// off is the largest distance between two maps at the corners of a w × h picture.
func off(a, b colormath.Homography, w, h int) float64 {
	worst := 0.
	for _, c := range [][2]float64{{0, 0}, {float64(w), 0}, {0, float64(h)}, {float64(w), float64(h)}} {
		x, y := a.Apply(c[0], c[1])
		u, v := b.Apply(c[0], c[1])
		worst = max(worst, math.Hypot(x-u, y-v))
	}
	return worst
}

// White paper against black, turned and shifted as far as the search goes: the place is
// found to a pixel in three hundred at the corners, and the edges agree.
func TestNearFindsAnInvertedBed(t *testing.T) {
	const w, h = 500, 380
	for _, c := range []struct{ degrees, scale, dx, dy float64 }{
		{0, 1, 0, 0}, {.5, 1, 2.5, -1.7}, {-2, 1.01, 14, 9}, {3, .97, -19, 15},
	} {
		pose := colormath.Homography{1, 0, c.dx, 0, 1, c.dy, 0, 0, 1}.After(turned(w, h, c.degrees*math.Pi/180, c.scale))
		back, _ := pose.Inverse()
		got, agree := Near(mosaic(w, h, .85, still), mosaic(w, h, .02, pose), 2)
		assert.LessOrEqual(t, off(got, back, w, h), 500./300, "%+v: %v", c, got)
		assert.Greater(t, agree, .5)
	}
	_, agree := Near(mosaic(w, h, .85, still), painted(w, h, func(x, y float64) float64 { return math.Mod(math.Floor(x/17)*math.Floor(y/41), 2) }), 1)
	assert.Less(t, agree, .5, "another pattern")
}

// Threads don't show.
func TestNearForAnyNumberOfThreads(t *testing.T) {
	a, b := mosaic(300, 220, .85, still), mosaic(300, 220, .02, turned(300, 220, .02, 1))
	want, _ := Near(a, b, 1)
	for _, threads := range []int{2, 3, 7} {
		got, _ := Near(a, b, threads)
		assert.Equal(t, want, got)
	}
}

// clouds are what a face shows, without noise.
func clouds(x, y float64) float64 {
	return .1*math.Sin(x/7+y/31) + .1*math.Cos(y/9-x/23) + .05*math.Sin((x+y)/5)
}

// Clouds that are seen again elsewhere and a tenth brighter: to a fiftieth of a pixel.
func TestSettle(t *testing.T) {
	const w, h = 200, 160
	pose := colormath.Homography{1.001, .002, .35, -.0015, .999, -.4, 2e-6, 0, 1}
	a := painted(w, h, clouds)
	all := painted(w, h, func(float64, float64) float64 { return 1 })
	back, _ := pose.Inverse()
	b := painted(w, h, func(x, y float64) float64 { x, y = back.Apply(x, y); return .1 + clouds(x, y) })
	got, ok := Settle(a, b, all, 2)
	assert.True(t, ok)
	assert.LessOrEqual(t, off(got, back, w, h), .02)

	// Noise alone moves nothing.
	rng := rand.New(rand.NewPCG(1, 1))
	noise := func() *Plane { return painted(w, h, func(_, _ float64) float64 { return rng.NormFloat64() }) }
	got, ok = Settle(noise(), noise(), all, 2)
	assert.False(t, ok)
	assert.Equal(t, still, got)
	_, ok = Settle(a, b, NewPlane(w, h), 2)
	assert.False(t, ok, "no face in sight")
}

// squares is a coverage with three squares of 12 px, the second one moved by (dx, dy),
// and the label map of the squares at rest with a rim of Reach px.
func squares(dx, dy float64) (*Plane, []int32) {
	label := make([]int32, 100*40)
	p := painted(100, 40, func(x, y float64) float64 {
		sum := 0.
		for k, mx := range [3]float64{0, dx, 0} {
			my := 0.
			if k == 1 {
				my = dy
			}
			u, v := x-(20+30*float64(k))-mx, y-20-my
			sum += min(max(6.5-math.Abs(u), 0), 1) * min(max(6.5-math.Abs(v), 0), 1)
			if u, v := x-(20+30*float64(k)), y-20; math.Abs(u) <= 6+Reach && math.Abs(v) <= 6+Reach {
				label[int(y)*100+int(x)] = int32(k + 1)
			}
		}
		return sum
	})
	return p, label
}

// By hand: the square that was moved by (2, −1.5) has to go back, the others stay.
func TestShifts(t *testing.T) {
	a, label := squares(0, 0)
	b, _ := squares(2, -1.5)
	got := Shifts(label, 3, a, b, 2)
	require.Len(t, got, 3)
	for i, s := range got {
		assert.Equal(t, i+1, s.Tile)
		assert.InDelta(t, 20+30*float64(i), s.X, .01)
		assert.InDelta(t, 20, s.Y, .01)
		if i == 1 {
			assert.InDelta(t, -2, s.DX, .1)
			assert.InDelta(t, 1.5, s.DY, .1)
			assert.Less(t, s.Rest, .1)
		} else {
			assert.Equal(t, [3]float64{0, 0, 1}, [3]float64{s.DX, s.DY, s.Rest})
		}
	}
}

// sheet paints a w × h picture: squares of 20 px of random colours, each with a seventh
// of its side in bed to the right and below, and table beyond 300 px.
func sheet(w, h int, bed float64, light func(x, y float64) [3]float64) *colormath.Picture {
	pic := colormath.NewPicture(w, h)
	for y := range h {
		for x := range w {
			rng := rand.New(rand.NewPCG(uint64(x/20), uint64(y/20)))
			own := [3]float64{.1 + .6*rng.Float64(), .1 + .6*rng.Float64(), .1 + .6*rng.Float64()}
			if x%20 >= 14 || y%20 >= 14 || rng.Float64() < .2 { // a fifth of the tiles are missing
				own = [3]float64{bed, bed, bed}
			}
			if y > 300 {
				own = [3]float64{.3, .2, .1}
			}
			k := light(float64(x), float64(y))
			for c := range 3 {
				pic.Pix[3*(y*w+x)+c] = float32(own[c] * k[c])
			}
		}
	}
	return pic
}

// By arithmetic: a second photo a fifth darker, bluer, and falling off to the right. Bed
// takes up 3/5 of the layout (1 − .8·.7²), yet what stays alike gives the exposure, with the tiles
// unknown or with a first idea that is wrong about every second column.
func TestMatch(t *testing.T) {
	const w, h = 400, 360
	falling := func(x, _ float64) [3]float64 {
		f := math.Exp(-.1 * (x - 199.5) / 200)
		return [3]float64{f / 1.25, f / 1.25, f / 1.1}
	}
	even := func(_, _ float64) [3]float64 { return [3]float64{1, 1, 1} }
	wrong := painted(w, h, func(x, _ float64) float64 { return math.Mod(math.Floor(x/20), 2) })
	for _, beds := range [][2]float64{{.85, .02}, {.02, .85}, {.5, .85}} {
		for _, face := range []*Plane{nil, wrong} {
			e := Match(sheet(w, h, beds[0], even), sheet(w, h, beds[1], falling), face, .4, 2)
			for c, want := range [3]float64{1.25, 1.25, 1.1} {
				assert.InDelta(t, want, e.At(199.5, 149.5)[c], .01, "%v", beds)
				assert.InDelta(t, want*math.Exp(.05), e.At(299.5, 20)[c], .015, "%v", beds)
			}
		}
	}
}

// Apply multiplies each pixel by what At says of it.
func TestApply(t *testing.T) {
	e := Exposure{gridOf(400, 300), [3][3]float64{{.1, .2, -.1}, {0, -.05, .02}, {-.3, 0, 0}}}
	pic := colormath.NewPicture(400, 300)
	for i := range pic.Pix {
		pic.Pix[i] = 1
	}
	e.Apply(pic, 3)
	for _, p := range [][2]int{{0, 0}, {399, 299}, {123, 45}} {
		k, got := e.At(float64(p[0]), float64(p[1])), pic.At(p[0], p[1])
		assert.InDeltaSlice(t, k[:], []float64{got.R, got.G, got.B}, 1e-4)
	}
	none := Match(colormath.NewPicture(40, 40), colormath.NewPicture(40, 40), nil, 0, 1)
	assert.Equal(t, [3]float64{1, 1, 1}, none.At(5, 5), "black pictures tell nothing")
}
