package segment

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gapshade/colormath"
)

// leastContrast is the least difference of the papers, as they look in the gaps: a
// fifth of their mean. Exposures are matched to about 2 %.
const leastContrast = 0.1

// overlay is the second photo laid over the first, with the tiles that both tell.
type overlay struct {
	*laidOver
	first, second *plane // the network's coverage of each photo
	tiles         *pieces
	reading       PairReading
}

// read sums up what the photos told about each other.
func (o *overlay) read(ev *evidence) error {
	back, _ := ev.fromFull().Inverse()
	o.reading.ToPicture, o.reading.Exposure = back.After(o.at), o.exposure
	change := o.gapChange(ev)
	o.reading.Lighter = change < 0
	o.reading.Paper = o.papersSeen(ev)
	o.reading.Contrast = math.Tanh(math.Abs(change) / 2) // of a logarithm's ratio
	if o.reading.Contrast < leastContrast {
		return &PairError{Fault: SamePaper, Why: fmt.Sprintf("what shows in the gaps differs by %.0f %% only", 100*(math.Exp(math.Abs(change))-1))}
	}
	return nil
}

// papersSeen compares the papers where the gaps are lit best: the half of their pixels that
// is brighter on the lighter paper. In the shadow of tiles a paper lights itself.
func (o *overlay) papersSeen(ev *evidence) (ratio [3]float64) {
	lighter := ev.view
	if o.reading.Lighter {
		lighter = o.view
	}
	var lit []int
	for i, in := range ev.lay.panel {
		if in && o.tiles.outside[i] > gapClear {
			lit = append(lit, i)
		}
	}
	slices.SortStableFunc(lit, func(i, j int) int { return cmp.Compare(lighter.luminance(j), lighter.luminance(i)) })
	lit = lit[:(len(lit)+1)/2]
	for c := range ratio {
		var first, second float64
		for _, i := range lit {
			first += float64(ev.lin[3*i+c])
			second += float64(o.lin[3*i+c])
		}
		ratio[c] = max(second, 1e-9) / max(first, 1e-9)
	}
	return ratio
}

// gapClear is how far from a tile the middle of a gap is seen, px.
const gapClear = 2

// gapChange is the middle of log(first ÷ second) in the gaps.
func (o *overlay) gapChange(ev *evidence) float64 {
	var v []float64
	for i, in := range ev.lay.panel {
		if in && o.tiles.outside[i] > gapClear {
			v = append(v, math.Log((max(ev.luminance(i), 0)+.002)/(max(o.luminance(i), 0)+.002)))
		}
	}
	if len(v) == 0 {
		return 0
	}
	slices.SortFunc(v, cmp.Compare[float64])
	return colormath.Quantile(v, .5)
}
