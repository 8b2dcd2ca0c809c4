package colormath

import (
	"math"
	"slices"
)

// Spread sums up many values by three quantiles, [Quantile] .10, .50 and .90.
type Spread struct{ P10, P50, P90 float64 }

// SpreadOf returns the spread of the values in any order; it reorders a copy. No
// values give NaN in all three.
func SpreadOf(values []float64) Spread {
	v := slices.Clone(values)
	return Spread{QuantileIn(v, 0.10), QuantileIn(v, 0.50), QuantileIn(v, 0.90)}
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
// middle ones; it reorders a copy. No values give NaN.
func Median(values []float64) float64 {
	return QuantileIn(slices.Clone(values), 0.5)
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

// QuantileIn is Quantile for values in any order, which it reorders: a few times as
// quick as sorting them. The values hold no NaN.
func QuantileIn(values []float64, q float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	at := math.Max(0, math.Min(1, q)) * float64(len(values)-1)
	i := int(at)
	part(values, i)
	if i+1 >= len(values) {
		return values[i]
	}
	next := slices.Min(values[i+1:])
	return values[i] + (at-float64(i))*(next-values[i])
}

// few values are sorted rather than parted.
const few = 24

// part reorders values so that the one at place k stands there as if all were sorted,
// none larger before it and none smaller behind (quickselect: Hoare, Algorithm 65,
// Commun. ACM 4, 321, 1961; the middle of three parts).
func part(values []float64, k int) {
	for len(values) > few {
		n := len(values)
		a, b, c := values[0], values[n/2], values[n-1]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := 0, n-1
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for pivot < values[j] {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			values = values[:j+1]
		case k >= i:
			values, k = values[i:], k-i
		default:
			return // between the two parts all are the pivot
		}
	}
	slices.Sort(values)
}
