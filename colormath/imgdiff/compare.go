package imgdiff

import (
	"fmt"
	"image"

	"gapshade/colormath"
)

// Diff is the difference of two pictures of one size.
type Diff struct {
	W, H int
	DE   []float32 // CIEDE2000 per pixel, row by row

	Threshold float64     // pixels above it are counted
	Over      int         // how many are above it
	Worst     float64     // the largest CIEDE2000
	WorstAt   image.Point // where it is, the first in reading order

	Window      int             // side of the square window, pixels
	InWindow    int             // most pixels above the threshold in any such window
	WorstWindow image.Rectangle // where that is, the first in reading order
}

// Compare works out the difference of two pictures: which pixels differ by more
// than threshold (CIEDE2000; 1 is about the least that anybody sees), and the
// most of them in any window × window square. A window larger than the picture
// is cut to it, and one below 1 is 1. Pictures of different size are an error.
func Compare(got, want *colormath.Picture, threshold float64, window int) (Diff, error) {
	if got.W != want.W || got.H != want.H {
		return Diff{}, fmt.Errorf("pictures differ in size: got %d × %d, want %d × %d", got.W, got.H, want.W, want.H)
	}
	d := Diff{W: got.W, H: got.H, DE: make([]float32, got.W*got.H), Threshold: threshold, Window: max(1, window)}
	over := make([]int, len(d.DE))
	for i := range d.DE {
		de := pixelDifference(got.Pix[3*i:3*i+3], want.Pix[3*i:3*i+3])
		d.DE[i] = float32(de)
		if de > d.Worst {
			d.Worst, d.WorstAt = de, image.Pt(i%d.W, i/d.W)
		}
		if de > threshold {
			over[i] = 1
			d.Over++
		}
	}
	d.WorstWindow, d.InWindow = fullestWindow(over, d.W, d.H, d.Window)
	return d, nil
}

// pixelDifference leaves the colour formula alone for equal pixels, which in a
// golden test nearly all are.
func pixelDifference(a, b []float32) float64 {
	if a[0] == b[0] && a[1] == b[1] && a[2] == b[2] {
		return 0
	}
	return colormath.DeltaE2000(lab(a), lab(b))
}

func lab(v []float32) colormath.Lab {
	return colormath.LinearRGB{R: float64(v[0]), G: float64(v[1]), B: float64(v[2])}.Lab()
}

// fullestWindow returns the first of the n × n windows with the largest sum, and
// that sum; by sums over everything above and to the left, so that its time does
// not depend on n.
func fullestWindow(v []int, w, h, n int) (image.Rectangle, int) {
	nx, ny := min(n, w), min(n, h)
	table := make([]int, (w+1)*(h+1))
	at := func(x, y int) int { return table[y*(w+1)+x] }
	for y := range h {
		line := 0
		for x := range w {
			line += v[y*w+x]
			table[(y+1)*(w+1)+x+1] = at(x+1, y) + line
		}
	}
	best, where := 0, image.Rectangle{}
	for y := 0; y+ny <= h; y++ {
		for x := 0; x+nx <= w; x++ {
			sum := at(x+nx, y+ny) - at(x, y+ny) - at(x+nx, y) + at(x, y)
			if sum > best {
				best, where = sum, image.Rect(x, y, x+nx, y+ny)
			}
		}
	}
	return where, best
}

// String says it in one line, as a failing test prints it.
func (d Diff) String() string {
	if d.Worst == 0 {
		return "no difference"
	}
	return fmt.Sprintf("%d of %d pixels differ by more than %g, at most %d of them in a %d × %d window (at %v); worst %.3g at %v",
		d.Over, d.W*d.H, d.Threshold, d.InWindow, d.Window, d.Window, d.WorstWindow.Min, d.Worst, d.WorstAt)
}
