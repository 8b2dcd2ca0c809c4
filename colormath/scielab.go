package colormath

import "math"

// What is left of a picture at a distance, after S-CIELAB (Zhang and Wandell,
// J. Soc. Inf. Disp. 5, 61, 1997): light is split into a luminance, a red–green
// and a blue–yellow plane, each is blurred as the eye blurs it, and the planes
// are put together again. Colour contrast of thin joints fades about twice as
// soon as their lightness contrast.

// xyzToOpponent takes XYZ (2°) to the three planes: Poirson and Wandell, J.
// Opt. Soc. Am. A 10, 2458 (1993), in the rounding of Zhang and Wandell.
// Reprints give −.077 for the last entry of the second row and .297 for the
// first .279; both are slips: other cone matrices give +.06 and +.08 there and
// the published inverse belongs to the + version.
var xyzToOpponent = Matrix{
	{0.2787336, 0.7218031, -0.1065520},
	{-0.4487736, 0.2898056, 0.0771569},
	{0.0859513, -0.5899859, 0.5011089},
}

// gaussian is one term of a filter: exp(−(x² + y²)/s²), scaled to volume 1.
type gaussian struct {
	weight float64
	spread float64 // s, degrees of visual angle
}

// eyeFilters are the terms of each plane, as published by Zhang and Wandell
// 1997; the weights are divided by their sum, so an even field stays as it is.
//
// A second set is in wide circulation with spreads of .05, .225, 7 and so on.
// Its weights are the same when divided, and its spreads are 1.61 to 1.77 times
// larger: they are the full widths at half maximum, 2√ln 2 = 1.67 times s. Read
// as s or as a half width, they blur about twice too much.
var eyeFilters = [3][]gaussian{
	{{0.921, 0.0283}, {0.105, 0.133}, {-0.108, 4.336}}, // luminance
	{{0.531, 0.0392}, {0.330, 0.494}},                  // red–green
	{{0.488, 0.0536}, {0.371, 0.386}},                  // blue–yellow
}

// SamplesPerDegree is the number of pixels of size mmPerPixel (at the panel)
// within one degree of visual angle, seen from the given distance in metres.
func SamplesPerDegree(metres, mmPerPixel float64) float64 {
	return radians(1) * metres * 1000 / mmPerPixel
}

// CyclesPerDegree is the frequency of a pattern that repeats every pitch mm,
// seen from the given distance in metres: 17.453·metres/pitch. Neighbours push
// apart at .7 and pull together at 9 cycles per degree, changing over near 4
// (Smith, Jin, Pokorny, Vision Res. 41, 1007, 2001); beyond about 16 the eye
// sees the mean.
func CyclesPerDegree(metres, pitch float64) float64 { return radians(1) * metres * 1000 / pitch }

// Seen returns the picture as an average eye resolves it when samplesPerDegree
// pixels fill a degree; see [SamplesPerDegree]. The result is linear light on
// the same pixels, so its [LinearRGB.Lab] is the S-CIELAB of a pixel and a mean
// over pixels is a mean of light. For weaker eyes scale the distance up.
//
// Beyond the edges the picture goes on as its mirror image. An even field comes
// back unchanged to 1e-6; gratings follow the published filters to .001 of the
// mean from 60 samples per degree up. Below 40 the pixels are taken as little
// squares of even light, which is exact for joints of whole pixels; between 40
// and 60 a joint of a single pixel comes out up to .025 of its height too
// strong. A samplesPerDegree of 0 or less gives a copy. threads 0 means one per
// processor; the result does not depend on it.
//
// Light spread by the eye is covered, simultaneous contrast is not.
func Seen(p *Picture, samplesPerDegree float64, threads int) *Picture {
	out := NewPicture(p.W, p.H)
	if samplesPerDegree <= 0 || len(p.Pix) == 0 {
		copy(out.Pix, p.Pix)
		return out
	}
	fromPlanes := opponentToRGB
	for i, terms := range eyeFilters {
		in := planeOf(p, rgbToOpponent[i], threads)
		seen := eyeFilter(in, terms, samplesPerDegree, threads)
		seen.addTo(out, [3]float64{fromPlanes[0][i], fromPlanes[1][i], fromPlanes[2][i]}, threads)
	}
	return out
}

// coarseRate is the sampling, in samples per degree, below which a kernel is
// integrated over each pixel. There the narrow luminance Gaussian is about one
// pixel wide and its samples no longer add up to its area; above, integrating
// would blur a second time what the pixel has averaged already.
const coarseRate = 40

// eyeFilter returns Σ w·G / Σ w of the plane.
func eyeFilter(in plane, terms []gaussian, rate float64, threads int) plane {
	total := 0.0
	for _, g := range terms {
		total += g.weight
	}
	out := newPlane(in.w, in.h)
	for _, g := range terms {
		s := g.spread * rate
		mx, my := cellsFor(s, in.w), cellsFor(s, in.h)
		small := in
		if mx < in.w || my < in.h {
			small = in.reduce(mx, my, threads)
		}
		across := cellKernel(s, in.w, mx, rate < coarseRate)
		down := cellKernel(s, in.h, my, rate < coarseRate)
		small.convolve(across, down, threads).spreadOver(out, g.weight/total, threads)
	}
	return out
}

// cellsFor is the number of cells in which n pixels in a line are averaged
// before a blur of spread s pixels: as few as leave a spread of 8 cells, so
// that joining them by straight lines afterwards costs less than 1 % of a term
// that is smooth anyway; and at least 8. Below a spread of 10 pixels averaging
// would save nothing, and every pixel is its own cell.
func cellsFor(s float64, n int) int {
	if s < 10 || n < 16 {
		return n
	}
	return max(8, int(math.Ceil(8*float64(n)/s)))
}

// cellKernel is the kernel, on m cells of n/m pixels, that together with the
// averaging and the straight lines has spread s pixels. Variances add: for
// cells of c pixels (c² − 1)/12 from the average and (2c² + 1)/12, in the mean,
// from the lines, together c²/4; the variance of s is s²/2. Pixels that are
// their own cells are neither averaged nor joined.
func cellKernel(s float64, n, m int, integrated bool) kernel {
	if m == n {
		return gaussianKernel(s, integrated)
	}
	r := s * float64(m) / float64(n)
	return gaussianKernel(math.Sqrt(r*r-0.5), false)
}
