package colormath

import (
	"math"
	"slices"
)

// Spread sums up many values by three quantiles, [Quantile] .10, .50 and .90.
type Spread struct{ P10, P50, P90 float64 }

// SpreadOf returns the spread of the values in any order; it sorts a copy. No
// values give NaN in all three.
func SpreadOf(values []float64) Spread {
	s := slices.Sorted(slices.Values(values))
	return Spread{Quantile(s, 0.10), Quantile(s, 0.50), Quantile(s, 0.90)}
}

// Quantile returns the q-quantile, q 0…1 (clipped), of values sorted upwards.
// Between two values it interpolates in a straight line with the first value
// at q = 0 and the last at q = 1: type 7 of Hyndman and Fan, Am. Stat. 50, 361
// (1996), the default of R and of most spreadsheets. No values give NaN.
func Quantile(sorted []float64, q float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	at := math.Max(0, math.Min(1, q)) * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// Median returns the middle of the values in any order, or the mean of the two
// middle ones; it sorts a copy. No values give NaN.
func Median(values []float64) float64 {
	return Quantile(slices.Sorted(slices.Values(values)), 0.5)
}

// MAD is the median absolute deviation from the median, unscaled; for a normal
// distribution 1.4826·MAD is its standard deviation. No values give NaN.
func MAD(values []float64) float64 {
	m := Median(values)
	d := make([]float64, len(values))
	for i, v := range values {
		d[i] = math.Abs(v - m)
	}
	return Median(d)
}
