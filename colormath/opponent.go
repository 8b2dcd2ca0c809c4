package colormath

import "math"

// Opponent is a colour in the three planes of S-CIELAB: luminance, red–green,
// blue–yellow; see [Seen]. It is linear in light.
type Opponent [3]float64

var (
	rgbToOpponent = xyzToOpponent.Times(rgbToXYZ65)
	opponentToRGB = rgbToOpponent.Inverse()
)

// Opponent returns the colour in the three planes.
func (c LinearRGB) Opponent() Opponent {
	var o Opponent
	o[0], o[1], o[2] = rgbToOpponent.Apply(c.R, c.G, c.B)
	return o
}

// LinearRGB undoes [LinearRGB.Opponent].
func (o Opponent) LinearRGB() LinearRGB {
	r, g, b := opponentToRGB.Apply(o[0], o[1], o[2])
	return LinearRGB{r, g, b}
}

// Plane is one number per pixel, row by row, W·H long: an opponent plane of a
// picture, or a share. Pixel centres stand at whole numbers, x right, y down.
type Plane struct {
	W, H int
	V    []float32
}

// NewPlane returns a plane of zeros.
func NewPlane(w, h int) Plane { return Plane{w, h, make([]float32, w*h)} }

// Reduced returns the area means of w × h cells of equal size, which share out
// the pixels that they cut; no more cells than pixels.
func (p Plane) Reduced(w, h, threads int) Plane {
	r := plane{p.W, p.H, p.V}.reduce(min(w, p.W), min(h, p.H), threads)
	return Plane{r.w, r.h, r.v}
}

// Enlarged repeats every pixel f × f times, f 1 or more.
func (p Plane) Enlarged(f int) Plane {
	if f <= 1 {
		return p
	}
	out := NewPlane(f*p.W, f*p.H)
	for y := range out.H {
		for x := range out.W {
			out.V[y*out.W+x] = p.V[y/f*p.W+x/f]
		}
	}
	return out
}

// What the pixels of a plane bring along, as variances along one axis, px²: of
// the mean over something finer, and of reading by [Plane.At].
const (
	MeanPixels  = 1.0 / 12
	ReadBetween = 1.0 / 4
)

// Seen returns an opponent plane (0 luminance, 1 red–green, 2 blue–yellow) as an
// average eye resolves it. All is as in the function [Seen], but the pixels may
// be means of something finer, and may be read by [Plane.At]: soft, a sum of
// [MeanPixels] and [ReadBetween], says so, and the eye's narrow kernels are made
// narrower by as much. Lines then come out right to .01 from 45 samples per
// degree up however thin, and below that when 4 px wide or more. 0 takes the
// pixels at their word.
//
// The filters are linear: whoever needs one panel under many colours of the joint
// filters the panel without joints and the joints' share once each, and adds them
// up for every colour.
func (p Plane) Seen(index int, samplesPerDegree, soft float64, threads int) Plane {
	if samplesPerDegree <= 0 || len(p.V) == 0 {
		return Plane{p.W, p.H, append([]float32(nil), p.V...)}
	}
	r := eyeFilter(plane{p.W, p.H, p.V}, eyeFilters[index], samplesPerDegree, soft, threads)
	return Plane{r.w, r.h, r.v}
}

// FineRate is the sampling, samples per degree, from which a plane's narrowest
// kernel is wide enough for lines thinner than a pixel: 2.15 px of spread. 76 for
// luminance; the colour planes are blurred more and need fewer.
func FineRate(index int) float64 { return 2.15 / eyeFilters[index][0].spread }

// At reads the plane anywhere, by a quadratic B-spline over 3 × 3 pixels; the
// outermost pixels go on beyond the edge. It blurs a little, and by the same
// variance wherever the place falls. Straight lines between pixels blur by none at
// a centre and by most half way, which can't be made good.
func (p Plane) At(x, y float64) float64 {
	i, j := math.Round(x), math.Round(y)
	across, down := spline(x-i), spline(y-j)
	sum := 0.0
	for b, wy := range down {
		row := p.V[max(0, min(int(j)+b-1, p.H-1))*p.W:]
		for a, wx := range across {
			sum += wy * wx * float64(row[max(0, min(int(i)+a-1, p.W-1))])
		}
	}
	return sum
}

// spline is the weights of three pixels for a place off the middle one by t,
// −½…½: mean t, variance ¼ (Schoenberg 1946).
func spline(t float64) [3]float64 {
	return [3]float64{(.5 - t) * (.5 - t) / 2, .75 - t*t, (.5 + t) * (.5 + t) / 2}
}
