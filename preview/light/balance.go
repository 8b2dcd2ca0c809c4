package light

import (
	"errors"
	"math"

	"gapshade/colormath"
)

// Card is a neutral card in the photo: a disc round (X, Y), upright px.
type Card struct{ X, Y, R float64 }

// Balance is what a card tells: the factors per channel that make it neutral.
// It is a von Kries adaptation in linear RGB, the same that division by the bed
// does.
type Balance struct {
	Gain [3]float64 // multiply R, G, B; keeps the card's luminance
	Cast [3]float64 // the light's R, G, B over their mean, as the card shows it
	// Spread is how much the card's own pixels differ: their mean absolute
	// deviation from the median, over it. Noise and grain give .02 to .05; more
	// is an edge, a shadow or print.
	Spread float64
}

// The reasons why a card can't be read.
var (
	ErrOff     = errors.New("the disc reaches beyond the photo")
	ErrClipped = errors.New("more than 1 % of it is burnt out or black, so its colour is lost")
	ErrSmall   = errors.New("it is too small to tell its colour from noise")
)

// fewestPixels lets noise of 5 % leave less than 1 % of doubt.
const fewestPixels = 28

// Clipped channels in 8-bit codes: near either end a camera no longer counts
// light in proportion; and the share of them that is borne (ours).
const (
	lowCode, highCode = 5, 250
	clippedShare      = 0.01
)

// ReadCard reads a neutral card. Only its colour is taken, never its lightness:
// cards of 18 % reflectance, of 50 % and white ones serve alike. Errors are
// ErrOff, ErrClipped and ErrSmall.
func ReadCard(pic *colormath.Picture, c Card) (Balance, error) {
	if !(c.X-c.R >= -.5 && c.Y-c.R >= -.5 && c.X+c.R <= float64(pic.W)-.5 && c.Y+c.R <= float64(pic.H)-.5) {
		return Balance{}, ErrOff
	}
	px := disc(pic, c)
	if len(px) < fewestPixels {
		return Balance{}, ErrSmall
	}
	clipped := 0
	for i := range px {
		if isClipped(px[i]) {
			clipped++
		}
	}
	if float64(clipped) > clippedShare*float64(len(px)) {
		return Balance{}, ErrClipped
	}
	return balanceOf(px), nil
}

// isClipped tells whether a channel stands at either end of what 8 bits hold.
func isClipped(p [3]float32) bool {
	for _, v := range p {
		if code := colormath.Encode8(v); code >= highCode || code <= lowCode {
			return true
		}
	}
	return false
}

// disc collects the pixels whose centres lie in the disc, thinned evenly to
// about 200,000: a mean needs no more.
func disc(pic *colormath.Picture, c Card) (px [][3]float32) {
	step := 1 + int(c.R/250)
	for y := int(math.Ceil(c.Y - c.R)); y <= int(math.Floor(c.Y+c.R)); y += step {
		for x := int(math.Ceil(c.X - c.R)); x <= int(math.Floor(c.X+c.R)); x += step {
			dx, dy := float64(x)-c.X, float64(y)-c.Y
			// The disc may touch the photo's edge, where rounding could step over it.
			if dx*dx+dy*dy <= c.R*c.R && x >= 0 && y >= 0 && x < pic.W && y < pic.H {
				px = append(px, [3]float32(pic.Pix[3*(y*pic.W+x):]))
			}
		}
	}
	return px
}

// balanceOf makes the robust mean of the pixels neutral.
func balanceOf(px [][3]float32) Balance {
	var middle, width [3]float64
	for c := range middle {
		v := make([]float64, len(px))
		for i := range px {
			v[i] = float64(px[i][c])
		}
		// 1.4826 makes the median deviation the standard deviation of normal
		// noise. An even card has none: then what equals the median is kept.
		middle[c], width[c] = colormath.Median(v), 2.5*1.4826*colormath.MAD(v)+1e-9
	}
	mean, off := robustMean(px, middle, width)
	y := colormath.LinearRGB{R: mean[0], G: mean[1], B: mean[2]}.Luminance()
	b := Balance{Spread: off}
	s := (mean[0] + mean[1] + mean[2]) / 3
	for c, v := range mean {
		b.Gain[c], b.Cast[c] = y/v, v/s
	}
	return b
}

// robustMean leaves out pixels of which a channel lies further than width from
// its median: dust, print, a tile beside the card. off is the mean absolute
// deviation of all pixels from the median, over it.
func robustMean(px [][3]float32, middle, width [3]float64) (mean [3]float64, off float64) {
	n := 0.0
	for _, p := range px {
		kept := true
		for c, v := range p {
			d := math.Abs(float64(v) - middle[c])
			off += d / middle[c] / float64(3*len(px))
			kept = kept && d <= width[c]
		}
		if !kept {
			continue
		}
		n++
		for c, v := range p {
			mean[c] += float64(v)
		}
	}
	if n == 0 {
		return middle, off // no pixel is usual in all three channels
	}
	for c := range mean {
		mean[c] /= n
	}
	return mean, off
}

// Apply multiplies a whole picture, in place.
func (b *Balance) Apply(pic *colormath.Picture, threads int) {
	k := [3]float32{float32(b.Gain[0]), float32(b.Gain[1]), float32(b.Gain[2])}
	colormath.Rows(pic.H, threads, func(y0, y1 int) {
		for p := pic.Pix[3*y0*pic.W : 3*y1*pic.W]; len(p) >= 3; p = p[3:] {
			p[0], p[1], p[2] = p[0]*k[0], p[1]*k[1], p[2]*k[2]
		}
	})
}
