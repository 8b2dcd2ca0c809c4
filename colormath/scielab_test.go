package colormath

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var planeNames = [3]string{"luminance", "red_green", "blue_yellow"}

// fromOpponent makes a picture whose given opponent plane is v(x, y), the other
// two being level at the planes of mid grey.
func fromOpponent(w, h, index int, v func(x, y int) float64) *Picture {
	toPlanes := xyzToOpponent.Times(rgbToXYZ65)
	back := toPlanes.Inverse()
	var o [3]float64
	o[0], o[1], o[2] = toPlanes.Apply(0.5, 0.5, 0.5)
	p := NewPicture(w, h)
	for y := range h {
		for x := range w {
			o[index] = v(x, y)
			r, g, b := back.Apply(o[0], o[1], o[2])
			p.Set(x, y, LinearRGB{r, g, b})
		}
	}
	return p
}

// opponentOf reads one opponent plane of a pixel.
func opponentOf(p *Picture, index, x, y int) float64 {
	m := xyzToOpponent.Times(rgbToXYZ65)[index]
	c := p.At(x, y)
	return m[0]*c.R + m[1]*c.G + m[2]*c.B
}

// The constants in the code against the published tables, and the inverse in
// circulation, seven digits, which settles the sign in the second row.
func TestOpponentAndFilterTables(t *testing.T) {
	published := map[string]Matrix{}
	for _, r := range reference(t, "scielab_opponent.csv", 9) {
		m := published[r["matrix"]]
		m[int(r.num(t, "row"))] = [3]float64{r.num(t, "c0"), r.num(t, "c1"), r.num(t, "c2")}
		published[r["matrix"]] = m
	}
	assert.Equal(t, published["XYZ2deg_to_opponent"], xyzToOpponent)
	assert.Less(t, matrixDistance(published["opponent_to_XYZ2deg"], xyzToOpponent.Inverse()), 1e-5)
	for i, terms := range filterSet(t, "published_1997") {
		assert.Equal(t, terms, eyeFilters[i])
	}
}

// filterSet reads one of the two sets of scielab_filters.csv.
func filterSet(t *testing.T, set string) [3][]gaussian {
	t.Helper()
	var terms [3][]gaussian
	for _, r := range reference(t, "scielab_filters.csv", 14) {
		for i, name := range planeNames {
			if r["set"] == set && r["channel"] == name {
				terms[i] = append(terms[i], gaussian{r.num(t, "weight"), r.num(t, "spread_deg")})
			}
		}
	}
	return terms
}

func TestEvenFieldStays(t *testing.T) {
	colours := []LinearRGB{{1, 1, 1}, {0.214, 0.214, 0.214}, {0.9, 0.2, 0.05}, {0.02, 0.3, 0.7}, {1.2, -0.05, 0}}
	for _, c := range colours {
		p := NewPicture(150, 91)
		for i := range p.W * p.H {
			p.Set(i%p.W, i/p.W, c)
		}
		for _, rate := range []float64{7, 30, 60, 200, 1500} {
			seen := Seen(p, rate, 1)
			for i := range p.Pix {
				require.InDelta(t, p.Pix[i], seen.Pix[i], 1e-6, "%v at %v", c, rate)
			}
		}
	}
}

// Oracle: scielab_mtf.csv, Σw·exp(−π²s²f²)/Σw of the published filters. .01 of
// the mean would do; 5e-4 is held, ten times what is measured, so that a wrong
// spread on the reduced copies shows. Whole half-waves fit the picture, so its mirror
// image goes on with the wave. Rows and columns both.
func TestGratings(t *testing.T) {
	for _, r := range reference(t, "scielab_mtf.csv", 12) {
		f := r.num(t, "cycles_per_degree")
		for _, rate := range []float64{60, 96, 240} {
			if f == 0 || f > 0.45*rate {
				continue // no wave, or more than the pixels can hold
			}
			for i, name := range planeNames {
				want := r.num(t, name)
				assert.InDelta(t, want, modulation(f, rate, i, false), 5e-4, "%s %v cpd, %v per degree, across", name, f, rate)
				if rate == 60 {
					assert.InDelta(t, want, modulation(f, rate, i, true), 5e-4, "%s %v cpd, down", name, f)
				}
			}
		}
	}
}

// modulation is the height of a wave of f cycles per degree after [Seen], as a
// share of its height before.
func modulation(f, rate float64, index int, down bool) float64 {
	// At least 240 pixels, and a whole number of half-waves to within a pixel.
	n := int(math.Round(math.Ceil(480*f/rate) * rate / (2 * f)))
	wave := func(i int) float64 { return math.Cos(2 * math.Pi * f / rate * (float64(i) + 0.5)) }
	w, h := n, 3
	if down {
		w, h = h, w
	}
	along := func(x, y int) int {
		if down {
			return y
		}
		return x
	}
	level := 0.3
	seen := Seen(fromOpponent(w, h, index, func(x, y int) float64 { return level + 0.1*wave(along(x, y)) }), rate, 1)
	sum, norm := 0.0, 0.0
	for y := range h {
		for x := range w {
			v := wave(along(x, y))
			sum += v * (opponentOf(seen, index, x, y) - level)
			norm += v * v
		}
	}
	return sum / norm / 0.1
}

// Oracle: scielab_line_response.csv, Σw·erf(w/2s)/Σw in the middle of a long
// straight joint; .01. Once with 60 pixels per degree or more, once with the
// joint a single pixel wide, which is coarse for near joints. Between 40 and 60
// a single pixel is taken as a point of light and not as a square (that is for
// the gratings, which would fade twice), hence .025.
func TestLineJoints(t *testing.T) {
	for _, r := range reference(t, "scielab_line_response.csv", 24) {
		width := r.num(t, "width_deg")
		assert.InDelta(t, 2*math.Atan(r.num(t, "joint_mm")/2000/r.num(t, "distance_m"))*180/math.Pi, width, 1e-6)
		fine := 2*int(math.Ceil(30*width)) + 1 // odd, so that a pixel lies in the middle
		for _, px := range []int{1, fine} {
			rate, tolerance := float64(px)/width, 0.01
			if rate > 40 && rate < 60 {
				tolerance = 0.025
			}
			for i, name := range planeNames {
				got := lineResponse(px, rate, i)
				assert.InDelta(t, r.num(t, name), got, tolerance, "%s, %s mm at %s m, %d pixels", name, r["joint_mm"], r["distance_m"], px)
			}
		}
	}
}

// lineResponse is the middle of a joint px pixels wide and 1 high in a plane of
// 0, far enough from the edges that its mirror images do not count.
func lineResponse(px int, rate float64, index int) float64 {
	n := 2*int(8*rate) + px
	from := (n - px) / 2
	seen := Seen(fromOpponent(n, 3, index, func(x, _ int) float64 {
		if x >= from && x < from+px {
			return 1
		}
		return 0
	}), rate, 1)
	return opponentOf(seen, index, n/2, 1)
}

// Oracle: the filter written out, a two-dimensional sum over the mirrored
// picture with weights from exp alone, no reduced copies. Noise is the hardest
// picture for them; .004 of its height, which is 1, is what they may cost.
func TestSeenAgainstPlainSum(t *testing.T) {
	p := noise(70, 53)
	for _, rate := range []float64{60, 110} {
		seen := Seen(p, rate, 1)
		for _, at := range [][2]int{{0, 0}, {69, 52}, {35, 26}, {3, 50}, {60, 11}} {
			for i, terms := range eyeFilters {
				want := plainFilter(p, i, terms, rate, at[0], at[1])
				assert.InDelta(t, want, opponentOf(seen, i, at[0], at[1]), 0.004, "plane %d at %v, %v per degree", i, at, rate)
			}
		}
	}
}

// plainFilter works out one plane at one pixel.
func plainFilter(p *Picture, index int, terms []gaussian, rate float64, x, y int) float64 {
	sum, total := 0.0, 0.0
	for _, g := range terms {
		s := g.spread * rate
		reach := int(3.5*s) + 1
		across, down := make([]float64, p.W), make([]float64, p.H)
		for d := -reach; d <= reach; d++ {
			weight := math.Exp(-float64(d*d) / (s * s))
			across[mirrored(x+d, p.W)] += weight
			down[mirrored(y+d, p.H)] += weight
		}
		value, norm := 0.0, 0.0
		for j, wy := range down {
			for i, wx := range across {
				value += wx * wy * opponentOf(p, index, i, j)
				norm += wx * wy
			}
		}
		sum += g.weight * value / norm
		total += g.weight
	}
	return sum / total
}

// Compatibility only. Oracle: scielab_port_peaks.csv, middles of the kernels of
// a public port that reads the spreads as half width at half maximum and cuts
// the kernel at the given size; nine decimals. It shows that our Gaussians are
// theirs once the meaning of the spread is settled.
func TestPortPeaks(t *testing.T) {
	sets := map[string]string{"distributed_code_as_HWHM": "distributed_code", "published_1997_as_HWHM": "published_1997"}
	for _, r := range reference(t, "scielab_port_peaks.csv", 3) {
		for i, terms := range filterSet(t, sets[r["parameter_set"]]) {
			peak, total := 0.0, 0.0
			for _, g := range terms {
				s := g.spread * r.num(t, "samples_per_degree") / math.Sqrt(math.Ln2)
				middle := sampledGaussian(s, int(r.num(t, "kernel_size"))/2+1).scaled()[0]
				peak += g.weight * middle * middle
				total += g.weight
			}
			assert.InDelta(t, r.num(t, planeNames[i]+"_peak"), peak/total, 5.1e-10, "%s %s", r["parameter_set"], planeNames[i])
		}
	}
}

func TestSeenIsTheSameForAnyThreadCount(t *testing.T) {
	p := noise(123, 77)
	for _, rate := range []float64{25, 90} {
		one := Seen(p, rate, 1)
		for _, threads := range []int{2, 3, 8, 0} {
			assert.Equal(t, one.Pix, Seen(p, rate, threads).Pix)
		}
	}
}

// Pictures of a few pixels, and an eye on the picture.
func TestSeenOddSizes(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {2, 1}, {1, 9}, {3, 300}} {
		p := noise(size[0], size[1])
		for _, rate := range []float64{1, 60, 5000} {
			for _, v := range Seen(p, rate, 2).Pix {
				require.False(t, math.IsNaN(float64(v)), "%v at %v", size, rate)
			}
		}
		assert.Equal(t, p.Pix, Seen(p, 0, 1).Pix)
	}
	assert.Empty(t, Seen(NewPicture(0, 0), 60, 1).Pix)
}

// From so far away that the picture is a fraction of the narrowest term, only
// its mean is left.
func TestFarAwayIsTheMean(t *testing.T) {
	p := noise(40, 40)
	var mean [3]float64
	for i, v := range p.Pix {
		mean[i%3] += float64(v) / 1600
	}
	for i, v := range Seen(p, 20000, 1).Pix {
		require.InDelta(t, mean[i%3], v, 1e-3)
	}
}

// A mosaic of 12 mm pitch is 4 cycles per degree at 2.75 m.
func TestAngles(t *testing.T) {
	assert.InDelta(t, 4, CyclesPerDegree(2.75, 12), 1e-3)
	assert.InDelta(t, 60, SamplesPerDegree(1, 1000*math.Pi/180/60), 1e-12)
}

func noise(w, h int) *Picture {
	rng := rand.New(rand.NewPCG(uint64(w), uint64(h)))
	p := NewPicture(w, h)
	for i := range p.Pix {
		p.Pix[i] = rng.Float32()
	}
	return p
}

// One megapixel on one thread; the rate is the number after the slash.
func BenchmarkSeen(b *testing.B) {
	p := noise(1000, 1000)
	for _, rate := range []float64{30, 60, 120, 400} {
		b.Run(fmt.Sprint(rate), func(b *testing.B) {
			for b.Loop() {
				Seen(p, rate, 1)
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "MP/s")
		})
	}
}
