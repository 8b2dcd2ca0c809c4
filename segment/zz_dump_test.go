package segment

import (
	"context"
	"fmt"
	"gapshade/colormath"
	"math"
	"math/rand/v2"
	"testing"
)

func TestZZ(t *testing.T) {
	f := realFinder(t)
	rng := rand.New(rand.NewPCG(8, 8))
	for k := range 40 {
		var a, b [3]float64
		for i := range a {
			a[i], b[i] = .03+.7*math.Pow(rng.Float64(), 2), .03+.7*math.Pow(rng.Float64(), 2)
		}
		p := chequer(a, b)
		ev, _ := f.evidence(context.Background(), p, Options{}.window(p), Options{})
		if ev.lay.score > .05 || k < 3 {
			fmt.Printf("%.2f %.2f score %.3f %+v tiles %d gap %.1f\n", a, b, ev.lay.score, ev.lay.terms, ev.lay.tiles, ev.lay.gap)
		}
	}
	for k := range 12 {
		rng := rand.New(rand.NewPCG(uint64(k), 24))
		pic := painted(refusedW, refusedH, func(int, int) (r, g, b float64) { return .04, .035, .03 })
		big, small := 6+20*rng.Float64(), 2+4*rng.Float64()
		for range int(4000 * 100 / (big * small)) {
			cx, cy := rng.Float64()*refusedW, rng.Float64()*refusedH
			r := small + big*rng.Float64()*rng.Float64()
			squash, turn := .55+.45*rng.Float64(), math.Pi*rng.Float64()
			shade, warm := .08+.5*rng.Float64()*rng.Float64(), .8+.2*rng.Float64()
			stone(pic, cx, cy, r, squash, turn, [3]float64{shade, shade * (warm + 1) / 2, shade * warm})
		}
		p := noise(pic, .04)
		ev, _ := f.evidence(context.Background(), p, Options{}.window(p), Options{})
		fmt.Printf("gravel big %.1f small %.1f score %.3f %+v tiles %d gap %.1f\n", big, small, ev.lay.score, ev.lay.terms, ev.lay.tiles, ev.lay.gap)
	}
	_ = colormath.Encode8
}
