package colormath_test

import (
	"fmt"

	"gapshade/colormath"
)

// Pale grout between terracotta tiles: the large difference that HyAB is for,
// its lightness part, and the standard number beside them.
func Example() {
	tile := colormath.Lab{L: 48, A: 30, B: 32}
	grout, err := colormath.ParseHex("#d9d5cd")
	if err != nil {
		fmt.Println(err)
		return
	}
	g := grout.Lab()
	fmt.Printf("grout L* %.1f, %.1f lighter, HyAB %.1f, LRV %.0f against %.0f points\n",
		g.L, g.L-tile.L, colormath.HyAB(g, tile), colormath.LRV(g), colormath.LRV(tile))
	// Output: grout L* 85.4, 37.4 lighter, HyAB 77.9, LRV 67 against 17 points
}

// The dark one wins: half and half by weight of L* 92 and L* 25 is 34.3, where
// the mean of the light would be 71.3.
func ExampleBlend() {
	white, black := colormath.Lab{L: 92}.LinearRGB(), colormath.Lab{L: 25}.LinearRGB()
	mix := colormath.Blend{A: white, B: black}
	fmt.Printf("half and half: L* %.1f\n", mix.At(0.5).Lab().L)
	share, ok := mix.ShareFor(71.3)
	fmt.Printf("for L* 71.3: %.1f %% of the dark one, %v\n", 100*share, ok)
	// Output:
	// half and half: L* 34.3
	// for L* 71.3: 3.5 % of the dark one, true
}

// A mid grey grout, cured, then with water on it, then under an enhancer.
func ExampleFilm() {
	dry := colormath.Lab{L: 61}.LinearRGB()
	for _, f := range []colormath.Film{colormath.Water, colormath.Enhancer} {
		fmt.Printf("n %.3f: L* %.0f\n", f.Index, f.Damp(dry).Lab().L)
	}
	// Output:
	// n 1.333: L* 48
	// n 1.450: L* 44
}
