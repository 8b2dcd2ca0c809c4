package preview

import (
	"math"
	"sync"

	"gapshade/colormath"
	"gapshade/segment"
)

// Limits from which a photo is worth taking again (ours; none is reached by ten
// clean photos of five layouts but where glare was real).
const (
	muchGlare  = 0.02 // share of tile pixels burnt out
	muchBurnt  = 0.12 // share of bed pixels burnt out: the light is read from the brightest eighth of a pale bed
	muchBlack  = 0.5  // share of bed pixels black: it is read from the middle of a dark one
	strongTilt = 1.12 // longer over shorter of two opposite sides
	strongCast = 0.25 // a channel of the light off neutral
	// An edge is soft when it is wide in itself and against the gap: a large
	// photo may be soft pixel by pixel and still show every gap.
	softPx, softShare = 4.5, 0.5
	unevenCard        = 0.08
)

// quality is what pixels tell about the photo.
type quality struct {
	glare, burnt, black float64 // shares of tile pixels, of bed pixels, of bed pixels
	edge                float64 // px; NaN when no edge stands out
}

func newQuality(v *view, m *segment.Map) (q quality) {
	var beside sync.WaitGroup // the edges take as long as all the rest
	beside.Go(func() { q.edge = edgeWidth(v.pic, m) })
	q.glare = burntTiles(v, m)
	q.burnt, q.black = lostBed(v, m)
	beside.Wait()
	return q
}

// noteQuality says what in the photo itself makes the answer worse, and how to
// take a better one.
func (p *Proof) noteQuality(v *view, q *quality) {
	if q.glare > muchGlare {
		p.note("glare", "%.0f %% of the tile area is burnt out to white, and its colour is lost; turn the layout or the lamp until nothing mirrors, or take the photo darker", 100*q.glare)
	}
	switch {
	case q.burnt > muchBurnt:
		p.note("bed-clipped", "%.0f %% of the bed is burnt out, so the light on it is only known to be bright; take the photo a little darker, or lay the pieces on a darker paper", 100*q.burnt)
	case q.black > muchBlack:
		p.note("bed-clipped", "%.0f %% of the bed is black without any tone, so the light on it can't be read; take the photo a little brighter, or lay the pieces on a lighter paper", 100*q.black)
	}
	gap := p.Map.GapWidthPx.P50
	if q.edge > softPx && q.edge > softShare*gap {
		p.note("blurred", "edges of the tiles are %.0f px wide against gaps of %.0f px; hold the camera still, touch the panel to focus, and come as close as it will focus", q.edge, gap)
	}
	if t := tilt(&p.Map.Panel); v.quad == nil && !p.Map.WholePicture && !p.Map.Free && t > strongTilt {
		p.note("tilted", "opposite sides of the panel differ by %.0f %%, so far pieces measure smaller than near ones; photograph from straight above, or add --straighten", 100*(t-1))
	}
	if c := p.Light.Cast; max(c[0], c[1], c[2]) > 1+strongCast || min(c[0], c[1], c[2]) < 1-strongCast {
		check := "check that --bed names the bed's own colour"
		if p.card != nil {
			check = "check that --grey lies on a card that is neutral"
		}
		p.note("strong-cast", "the light is far from white (red %.2f, green %.2f, blue %.2f); %s; the numbers are balanced, but daylight tells colours better", c[0], c[1], c[2], check)
	}
	if p.card != nil && p.card.Spread > unevenCard {
		p.note("card-uneven", "the card under --grey varies by %.0f %%; mark a plain part of it, away from edges and shadows", 100*p.card.Spread)
	}
}

// burntTiles is the share of tile pixels that a lamp's mirror image has burnt out
// to white: all three channels at the end. One channel alone may be a bright
// tile's own colour.
func burntTiles(v *view, m *segment.Map) float64 {
	burnt, all := 0, 0
	for i := 0; i < len(m.Label); i += stride(m) {
		if m.Label[i] == 0 {
			continue
		}
		all++
		p := [3]float32(v.pic.Pix[3*i:])
		if float64(p[0]) < nearHigh*v.gain[0] { // as most are, and quickly seen
			continue
		}
		if lowest, _ := ends(p, v.gain); lowest >= highCode {
			burnt++
		}
	}
	return float64(burnt) / max(1, float64(all))
}

// stride thins the pixels of a share to about a million: far more than it needs.
// It is odd, so that it does not run along the columns of an even width.
func stride(m *segment.Map) int { return len(m.Gap)/1e6 | 1 }

// Codes of 8 bits from which a channel is burnt out, or black.
const lowCode, highCode = 5, 250

// nearHigh is a linear value below that of highCode, .956.
const nearHigh = 0.95

// ends are the lowest and the highest channel as 8-bit codes of the photo, gain
// being what they were multiplied by since.
func ends(p [3]float32, gain [3]float64) (lowest, highest uint8) {
	lowest = 255
	for c, l := range p {
		code := colormath.Encode8(float32(float64(l) / gain[c]))
		lowest, highest = min(lowest, code), max(highest, code)
	}
	return lowest, highest
}

// lostBed is the shares of bed pixels with a channel at the upper and at the
// lower end.
func lostBed(v *view, m *segment.Map) (burnt, black float64) {
	var high, low, all float64
	for i := 0; i < len(m.Gap); i += stride(m) {
		if m.Gap[i] < 250 {
			continue
		}
		all++
		switch lowest, highest := ends([3]float32(v.pic.Pix[3*i:]), v.gain); {
		case highest >= highCode:
			high++
		case lowest <= lowCode:
			low++
		}
	}
	return high / max(1, all), low / max(1, all)
}

// tilt is the larger ratio of two opposite sides.
func tilt(q *segment.Quad) float64 {
	side := func(i int) float64 { a, b := q[i], q[(i+1)%4]; return math.Hypot(b.X-a.X, b.Y-a.Y) }
	ratio := func(a, b float64) float64 { return max(a, b) / max(min(a, b), 1) }
	return max(ratio(side(0), side(2)), ratio(side(1), side(3)))
}

// How edges are read: reach is how far from the border an edge is looked for,
// and how far it is followed; foot is where it ends, as a share of its steepest
// step; leastRise is the least that an edge must rise to stand out of noise, in
// encoded light.
const (
	reach     = 12
	foot      = 0.1
	leastRise = 0.12
)

// edgeWidth is how many px an edge of a tile takes from one side to the other, as
// the sharpest quarter of all edges shows it: bevels and shadows only widen
// edges. Lines across the borders are read along rows and columns, in encoded
// light, where noise is even. A Gaussian blur of σ gives about 2.4 σ: between the
// places where its slope has fallen to a tenth, erf(2.146/√2)·√(2π) = 2.43.
// NaN when no edge stands out.
func edgeWidth(pic *colormath.Picture, m *segment.Map) float64 {
	step := max(1, int(math.Sqrt(m.PanelPx/1e6)))
	var widths []float64
	line := make([]float64, 2*reach+1)
	cross := func(at, stride, x, limit int) {
		if (m.Gap[at] < 128) == (m.Gap[at+stride] < 128) || x < reach || x+reach >= limit {
			return
		}
		for i := range line {
			p := pic.Pix[3*(at+(i-reach)*stride):]
			line[i] = brightness(p[0], p[1], p[2])
		}
		if w, ok := widthOf(line); ok {
			widths = append(widths, w)
		}
	}
	for _, s := range m.Inside {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0; x < s.X1; x++ {
			i := s.Y*m.W + x
			if x+1 < m.W {
				cross(i, 1, x, m.W)
			}
			if x%step == 0 && s.Y+1 < m.H {
				cross(i, m.W, s.Y, m.H)
			}
		}
	}
	if len(widths) == 0 {
		return math.NaN()
	}
	return colormath.QuantileIn(widths, .25)
}

// brightness is the luminance, roughly encoded: a square root is near enough to
// the curve and far quicker.
func brightness(r, g, b float32) float64 {
	return math.Sqrt(max(0, .2126*float64(r)+.7152*float64(g)+.0722*float64(b)))
}

// widthOf follows the steepest step near the middle of a line to both sides for
// as long as it goes on rising (or falling), and gives the rise over the
// steepest step.
func widthOf(line []float64) (float64, bool) {
	at, steepest := 0, 0.0
	for i := reach - 3; i < reach+3; i++ {
		if d := line[i+1] - line[i]; math.Abs(d) > math.Abs(steepest) {
			at, steepest = i, d
		}
	}
	lo, hi := at, at+1
	for lo > 0 && (line[lo]-line[lo-1])/steepest > foot {
		lo--
	}
	for hi < len(line)-1 && (line[hi+1]-line[hi])/steepest > foot {
		hi++
	}
	rise := math.Abs(line[hi] - line[lo])
	return rise / math.Abs(steepest), rise >= leastRise
}
