package segment

import (
	"math"

	"gapshade/colormath"
)

// Between painted pieces the network was told of the bed's colour, and still takes a
// stripe for a joint now and then. Where a colour is of another hue than the bed, no
// shadow on the bed makes it: it is paint. Only the light that a coloured face throws into
// a joint comes near, hence the wide ramp.
const (
	otherHue = 0.45 // of the logarithms' spread over the channels
	farHue   = 0.90
	hueSays  = 4.0 // natural log odds, where the hue is far off
)

// byColour lets colour speak where the network is in doubt: what it was sure of teaches
// the rest, or, where pieces are of many colours and one round distribution can't hold
// them (painted plates lose .02 of IoU by it), the bed's hue does.
func (ev *evidence) byColour(threads int) {
	if ev.told {
		ev.paintIsTile(threads)
		return
	}
	ev.teach(threads)
}

// paintIsTile gives what has another hue than the bed to the tiles, in place.
func (ev *evidence) paintIsTile(threads int) {
	tile := ev.tile.v
	colormath.Rows(ev.h, threads, func(y0, y1 int) {
		for i := y0 * ev.w; i < y1*ev.w; i++ {
			if !ev.lay.panel[i] {
				continue
			}
			_, drift := ev.bed.against(i%ev.w, i/ev.w, ev.encodedAt(i))
			if more := hueSays * ramp(drift, otherHue, farHue); more > 0 {
				p := min(max(float64(tile[i]), 1e-3), 1-1e-3)
				tile[i] = float32(1 / (1 + math.Exp(-math.Log(p/(1-p))-more)))
			}
		}
	})
}
