package net

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bothKernels runs a test with either set of loops. Where the processor has no
// AVX2, or under the tag purego, the two are the same.
func bothKernels(t *testing.T, test func(t *testing.T, k kernels)) {
	for _, k := range []kernels{plainKernels(), bestKernels()} {
		t.Run(k.name, func(t *testing.T) { test(t, k) })
	}
}

func readFloats(t testing.TB, path string) []float32 {
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	v := make([]float32, len(b)/4)
	for i := range v {
		v[i] = math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:]))
	}
	return v
}

func randomFloats(rng *rand.Rand, n int) []float32 {
	v := make([]float32, n)
	for i := range v {
		v[i] = rng.Float32()
	}
	return v
}

// vector is the input of the test vector: all planes, so that every weight of the
// first layer has its say.
func vector(t testing.TB) Input {
	v, n := readFloats(t, "testdata/vector-in-16x64x48.f32"), 64*48
	return Input{W: 48, H: 64, RGB: v[:3*n], Bed: v[3*n : 6*n], Second: v[7*n : 10*n], Told: v[11*n : 14*n], Painted: v[15*n:]}
}

// randomInput is a picture of noise with one half of the evidence, or the other.
func randomInput(rng *rand.Rand, w, h int) Input {
	in := Input{W: w, H: h, RGB: randomFloats(rng, 3*w*h)}
	if rng.IntN(2) == 0 {
		in.Bed, in.Painted = randomFloats(rng, 3*w*h), randomFloats(rng, w*h)
	} else {
		in.Second, in.Told = randomFloats(rng, 3*w*h), randomFloats(rng, 3*w*h)
	}
	return in
}

func parsed(t testing.TB, f listed, k kernels) *Net {
	n, err := Parse(f.files())
	require.NoError(t, err)
	n.kernels = k
	return n
}

func loaded(t testing.TB, k kernels) *Net {
	n, err := Load()
	require.NoError(t, err)
	n.kernels = k
	return n
}

// Oracle: the output of the training framework for a picture of smoothed noise,
// 48 wide and 64 high. 1e-4 is a fortieth of the eight-bit step in which
// coverage is kept.
func TestTilesMatchesTheTrainingFramework(t *testing.T) {
	in := vector(t)
	want := readFloats(t, "testdata/vector-out-64x48.f32")
	bothKernels(t, func(t *testing.T, k kernels) {
		assert.InDeltaSlice(t, want, loaded(t, k).Tiles(in, 2), 1e-4)
	})
}

// Oracle: refTiles. Networks of one to four levels, with channel counts that
// are no multiple of eight, on pictures that are no multiple of 16, down to one
// pixel. 1e-5 is some hundred roundings of a coverage near one.
func TestTilesMatchesStraightLoops(t *testing.T) {
	nets := []struct {
		channels  []int
		residuals int
	}{
		{[]int{8}, 1},
		{[]int{12, 8}, 0},
		{[]int{8, 12, 20}, 1},
		{[]int{8, 12, 16, 28}, 2},
	}
	sizes := [][2]int{{1, 1}, {1, 40}, {23, 1}, {17, 16}, {31, 49}, {150, 33}}
	bothKernels(t, func(t *testing.T, k kernels) {
		for _, c := range nets {
			rng := rand.New(rand.NewPCG(1, 2))
			f := randomNet(rng, c.channels, c.residuals)
			n := parsed(t, f, k)
			for _, s := range sizes {
				in := randomInput(rng, s[0], s[1])
				assert.InDeltaSlice(t, refTiles(f, in), n.Tiles(in, 2), 1e-5, "%v at %v", c, s)
			}
		}
	})
}

// Oracle: the run on one thread. No tolerance: not a bit may differ, also where
// there are more threads than rows.
func TestTilesAreTheSameForAnyNumberOfThreads(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		n := loaded(t, k)
		for _, s := range [][2]int{{1, 1}, {48, 64}, {97, 131}, {250, 120}} {
			in := randomInput(rand.New(rand.NewPCG(3, 4)), s[0], s[1])
			one := n.Tiles(in, 1)
			for _, threads := range []int{-1, 2, 3, 5, 40} {
				require.Equal(t, one, n.Tiles(in, threads), "%d threads at %v", threads, s)
			}
		}
	})
}

// Oracle: the strokes' plane filled with zeros by hand. Evidence that is not given
// changes not a bit.
func TestAbsentEvidenceIsZero(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		const w, h = 37, 22
		n, rng := loaded(t, k), rand.New(rand.NewPCG(11, 12))
		in := Input{W: w, H: h, RGB: randomFloats(rng, 3*w*h), Bed: randomFloats(rng, 3*w*h)}
		zero := in
		zero.Painted = make([]float32, w*h)
		assert.Equal(t, n.Tiles(zero, 2), n.Tiles(in, 2))
	})
}

// Oracle: the same picture continued by hand to the next multiple of 16.
func TestTilesRepeatsTheLastRowAndColumn(t *testing.T) {
	const w, h, fullW, fullH = 37, 18, 48, 32
	rgb := randomFloats(rand.New(rand.NewPCG(5, 6)), 3*w*h)
	full := make([]float32, 3*fullW*fullH)
	for i := range full {
		c, y, x := i/(fullW*fullH), i/fullW%fullH, i%fullW
		full[i] = rgb[(c*h+min(y, h-1))*w+min(x, w-1)]
	}
	n := loaded(t, bestKernels())
	got, want := n.Tiles(Input{W: w, H: h, RGB: rgb}, 1), n.Tiles(Input{W: fullW, H: fullH, RGB: full}, 1)
	for y := range h {
		require.Equal(t, want[y*fullW:y*fullW+w], got[y*w:(y+1)*w], "row %d", y)
	}
}

// Oracle: runs with fresh memory. Memory passes from a large picture to a small
// one, and between networks of different shape, without a trace.
func TestTilesIntoReusesMemory(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	nets := []*Net{
		loaded(t, bestKernels()),
		parsed(t, randomNet(rng, []int{8, 12}, 1), bestKernels()),
		parsed(t, randomNet(rng, []int{8, 8, 8, 8, 8}, 1), bestKernels()),
	}
	var m Memory
	var dst []float32
	for _, s := range [][2]int{{100, 70}, {9, 5}, {130, 90}} {
		for i, n := range nets {
			in := randomInput(rng, s[0], s[1])
			dst = n.TilesInto(dst, in, 2, &m)
			require.Equal(t, n.Tiles(in, 2), dst, "net %d at %v", i, s)
		}
	}
}

// Oracle: the other set of loops. A coverage differs by less than 1e-5 of
// itself; see the package comment on why it differs at all.
func TestBestKernelsAgreeWithPlain(t *testing.T) {
	if bestKernels().name == plainKernels().name {
		t.Skip("no other loops on this processor or in this build")
	}
	in := vector(t)
	plain := loaded(t, plainKernels()).Tiles(in, 1)
	best := loaded(t, bestKernels()).Tiles(in, 1)
	for i := range plain {
		require.InEpsilon(t, plain[i], best[i], 1e-5, "pixel %d", i)
	}
}

func TestTilesPanicsOnAShortPicture(t *testing.T) {
	n := loaded(t, bestKernels())
	rgb := make([]float32, 3*16*16)
	assert.Panics(t, func() { n.Tiles(Input{W: 16, H: 16, RGB: rgb[1:]}, 1) })
	assert.Panics(t, func() { n.Tiles(Input{W: 16, H: 16, RGB: rgb, Bed: rgb[3:]}, 1) })
	assert.Panics(t, func() { n.Tiles(Input{W: 0, H: 16}, 1) })
}

// Megapixels per second at the size at which photos are searched.
func BenchmarkTiles(b *testing.B) {
	const w, h = 1152, 896
	rng := rand.New(rand.NewPCG(9, 10))
	in := Input{W: w, H: h, RGB: randomFloats(rng, 3*w*h)}
	withBed := in
	withBed.Bed = randomFloats(rng, 3*w*h)
	for _, k := range []kernels{plainKernels(), bestKernels()} {
		for _, threads := range []int{1, 2} {
			for name, in := range map[string]Input{"picture": in, "bed": withBed} {
				b.Run(fmt.Sprintf("%s/%s/threads=%d", name, k.name, threads), func(b *testing.B) {
					n := loaded(b, k)
					var m Memory
					var dst []float32
					for b.Loop() {
						dst = n.TilesInto(dst, in, threads, &m)
					}
					b.ReportMetric(w*h*float64(b.N)/1e6/b.Elapsed().Seconds(), "MP/s")
				})
			}
		}
	}
}

// Stopped before it begins, a run skips all layers, and nothing is written; a stop that
// doesn't come changes no bit.
func TestTilesAreStopped(t *testing.T) {
	bothKernels(t, func(t *testing.T, k kernels) {
		n, in := loaded(t, k), vector(t)
		want := n.Tiles(in, 2)
		stop := make(chan struct{})
		in.Stop = stop
		assert.Equal(t, want, n.Tiles(in, 2))
		close(stop)
		assert.Equal(t, make([]float32, len(want)), n.Tiles(in, 2))
	})
}
