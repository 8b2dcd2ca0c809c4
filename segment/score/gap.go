package score

import "fmt"

// Gap cuts a coverage in the middle: true where grout covers more than half of
// the pixel, that is from 128 on.
func Gap(coverage []uint8) []bool {
	gap := make([]bool, len(coverage))
	for i, c := range coverage {
		gap[i] = c >= 128
	}
	return gap
}

// IoU is the intersection of two gap masks over their union inside the panel,
// 0…1. Two empty masks agree: 1.
func IoU(panel, truth, found []bool) float64 {
	same(len(truth), len(found))
	both, either := 0, 0
	for i := range counted(panel, len(truth)) {
		if truth[i] && found[i] {
			both++
		}
		if truth[i] || found[i] {
			either++
		}
	}
	if either == 0 {
		return 1
	}
	return float64(both) / float64(either)
}

// CoverageError is the mean of |found − truth| over the panel, both as shares
// 0…1. Unlike IoU it sees the soft edge of a pixel. An empty panel gives 0.
func CoverageError(panel []bool, truth, found []uint8) float64 {
	same(len(truth), len(found))
	sum, n := 0, 0
	for i := range counted(panel, len(truth)) {
		sum += max(int(truth[i]), int(found[i])) - min(int(truth[i]), int(found[i]))
		n++
	}
	if n == 0 {
		return 0
	}
	return float64(sum) / 255 / float64(n)
}

// AreaError is |found gap area / true gap area − 1| inside the panel, coverage
// summed, 0 upwards. Errors that cancel out do not show: it is about how much
// grout, not where. A truth without gap gives 0 or 1, as the other has none or
// some.
func AreaError(panel []bool, truth, found []uint8) float64 {
	same(len(truth), len(found))
	t, f := 0, 0
	for i := range counted(panel, len(truth)) {
		t += int(truth[i])
		f += int(found[i])
	}
	return CountError(t, f)
}

// counted goes through the indices 0…n−1 that the panel holds.
func counted(panel []bool, n int) func(yield func(int) bool) {
	if panel != nil {
		same(n, len(panel))
	}
	return func(yield func(int) bool) {
		for i := range n {
			if (panel == nil || panel[i]) && !yield(i) {
				return
			}
		}
	}
}

// same stops a comparison of two pictures of different size, whose figures
// would look like figures.
func same(a, b int) {
	if a != b {
		panic(fmt.Sprintf("score: slices of %d and %d values do not belong together", a, b))
	}
}
