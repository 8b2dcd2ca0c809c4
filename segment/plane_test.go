package segment

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: 3-4-5 triangle, straight lines, and the seed itself.
func TestDistancesToOneSeed(t *testing.T) {
	dist, nearest := distances(6, 5, func(i int) bool { return i == 1*6+1 })
	assert.Equal(t, float32(0), dist[1*6+1])
	assert.Equal(t, float32(4), dist[1*6+5])
	assert.Equal(t, float32(3), dist[4*6+1])
	assert.Equal(t, float32(5), dist[4*6+5])
	for _, s := range nearest {
		assert.Equal(t, int32(7), s)
	}
}

func TestDistancesWithoutSeed(t *testing.T) {
	dist, nearest := distances(4, 3, func(int) bool { return false })
	for i := range dist {
		assert.Equal(t, int32(-1), nearest[i])
		assert.Greater(t, dist[i], float32(1000), "farther than any picture is wide")
	}
}

// Oracle: every pixel against every seed. Squares of whole numbers are exact,
// so the distance must be the float32 next to the root of one.
func TestDistancesAgreeWithBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 71))
	sizes := [][2]int{{1, 1}, {1, 9}, {9, 1}, {2, 2}, {17, 11}, {11, 23}, {30, 30}}
	for _, s := range sizes {
		w, h := s[0], s[1]
		for _, full := range []float64{.01, .1, .5, .95} {
			seed := make([]bool, w*h)
			for i := range seed {
				seed[i] = rng.Float64() < full
			}
			seed[rng.IntN(w*h)] = true
			dist, nearest := distances(w, h, func(i int) bool { return seed[i] })
			for i := range dist {
				want := math.MaxInt
				for j := range seed {
					if seed[j] {
						want = min(want, square(w, i, j))
					}
				}
				require.Equal(t, float32(math.Sqrt(float64(want))), dist[i], "%d×%d, pixel %d", w, h, i)
				require.True(t, seed[nearest[i]])
				require.Equal(t, want, square(w, i, int(nearest[i])), "nearest is as far as dist says")
			}
		}
	}
}

func square(w, i, j int) int {
	dx, dy := i%w-j%w, i/w-j/w
	return dx*dx + dy*dy
}

// lowest reads the envelope at every sample.
func lowest(f []float64) []float64 {
	hull, from := make([]int, len(f)), make([]float64, len(f)+1)
	lowerEnvelope(f, hull, from)
	out := make([]float64, len(f))
	for x, k := 0, 0; x < len(f); x++ {
		for from[k+1] < float64(x) {
			k++
		}
		d := float64(x - hull[k])
		out[x] = d*d + f[hull[k]]
	}
	return out
}

// Oracle: the least of all parabolas, sample by sample.
func TestLowerEnvelope(t *testing.T) {
	const far = 1e12
	for name, f := range map[string][]float64{
		"one sample":           {4},
		"one sample far":       {far},
		"all far":              {far, far, far, far},
		"level":                {9, 9, 9, 9, 9},
		"seed at the left":     {0, far, far, far},
		"seed at the right":    {far, far, far, 0},
		"two seeds":            {0, far, far, far, far, far, 0},
		"a tie in the middle":  {0, far, 0, far, 0},
		"one hides another":    {0, 16, 0},
		"one just shows":       {1, 0, 1},
		"late and deep":        {1, 4, 9, 16, 25, 36, 0},
		"three hidden at once": {0, 30, 29, 28, 27, 0},
	} {
		t.Run(name, func(t *testing.T) {
			for x, got := range lowest(f) {
				want := math.Inf(1)
				for q, v := range f {
					want = min(want, float64((x-q)*(x-q))+v)
				}
				assert.Equal(t, want, got, "at %d", x)
			}
		})
	}
}

func TestPlaneReadsBetweenPixels(t *testing.T) {
	p := &plane{3, 2, []float32{0, 4, 8, 2, 6, 10}}
	assert.Equal(t, float32(4), p.at(1, 0))
	assert.Equal(t, float32(10), p.at(2, 1))
	assert.Equal(t, float32(2), p.at(.5, 0), "halfway between 0 and 4")
	assert.Equal(t, float32(5), p.at(1, .5), "halfway between 4 and 6")
	assert.Equal(t, float32(7), p.at(1.5, .5), "mean of 4, 8, 6, 10")
	assert.Equal(t, float32(0), p.at(-3, -1), "the border goes on")
	assert.Equal(t, float32(10), p.at(9, 9))
}
