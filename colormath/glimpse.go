package colormath

import "math"

// Glimpse is one opponent plane as an average eye resolves it, kept term by term,
// each on as few pixels as its blur needs, to be read at a few places. For a whole
// picture use [Seen].
type Glimpse struct {
	layers []layer
	finer  float64 // pixels of the layers per pixel of the plane looked at
}

// layer is one term: a blurred plane, its weight, and how it is read.
type layer struct {
	sampled
	weight float64
	line   bool // along straight lines
}

// sampled is a plane on pixels of another size: how many there are per pixel of the
// plane looked at, and the variance along each axis, px², that averaging into pixels
// has added.
type sampled struct {
	plane
	fx, fy float64
	vx, vy float64
}

// A term is sampled so that its spread is fineSpread pixels: lines thinner than a
// pixel then come out right. Below lineSpread the picture itself was too coarse for
// that, and reading it must not blur it further.
const (
	fineSpread = 2.35
	lineSpread = 1.3
)

// FineRate is the sampling, samples per degree, from which [Plane.Glimpse] sees
// lines however thin: 83 for luminance (index 0), less for the colours (1, 2).
func FineRate(index int) float64 { return fineSpread / eyeFilters[index][0].spread }

// Glimpse looks at an opponent plane (0 luminance, 1 red–green, 2 blue–yellow)
// whose pixels are area means of something finer. All is as in [Seen], but what
// averaging into pixels and reading between them add to the blur is taken off the
// kernels. The middle of a line comes out right to .015, and to .01 on the mean over
// the ways it may fall on the pixels: however thin from [FineRate] up, and below that
// when 4 px wide or more.
//
// A plane that is coarser than FineRate is cut into finer pixels first, up to finer
// times along each side: what lies between its pixels is not known, but a kernel
// smaller than a pixel could not be drawn.
//
// The filters are linear: whoever needs one panel under many colours of the joint
// looks at the panel without joints and at the joints' share once each, and adds
// them up for every colour.
func (p Plane) Glimpse(index int, samplesPerDegree float64, finer, threads int) Glimpse {
	total := 0.0
	for _, g := range eyeFilters[index] {
		total += g.weight
	}
	finer = max(1, min(finer, int(math.Ceil(FineRate(index)/samplesPerDegree))))
	in := p.Enlarged(finer)
	f := float64(finer)
	from := sampled{plane{in.W, in.H, in.V}, 1, 1, f * f / 12, f * f / 12}
	out := Glimpse{finer: f}
	for _, g := range eyeFilters[index] { // from the narrowest on, each from the last one's pixels
		s := g.spread * samplesPerDegree * f
		from = from.coarser(s, threads)
		l := layer{sampled: from, weight: g.weight / total, line: s*min(from.fx, from.fy) < lineSpread}
		l.plane = from.convolve(l.kernel(s*from.fx, from.vx), l.kernel(s*from.fy, from.vy), threads)
		out.layers = append(out.layers, l)
	}
	return out
}

// coarser joins pixels as far as a blur of spread s, in pixels of the plane looked
// at, allows.
func (p sampled) coarser(s float64, threads int) sampled {
	w, h := p.cells(p.w, s*p.fx), p.cells(p.h, s*p.fy)
	if w == p.w && h == p.h {
		return p
	}
	fx, fy := float64(w)/float64(p.w), float64(h)/float64(p.h)
	q := sampled{p.reduce(w, h, threads), fx * p.fx, fy * p.fy, fx * fx * p.vx, fy * fy * p.vy}
	if w < p.w {
		q.vx += 1.0 / 12
	}
	if h < p.h {
		q.vy += 1.0 / 12
	}
	return q
}

// cells is how many of n pixels in a line a blur of spread s keeps; a few at least,
// so that a line is not all edge.
func (p sampled) cells(n int, s float64) int {
	return min(n, max(4, int(math.Ceil(fineSpread*float64(n)/max(s, fineSpread)))))
}

// kernel has what is left of the variance s²/2 after what the pixels have added, v,
// and the reading: ¼ by splines; up to as much by lines, which is then too little to
// be counted. A kernel narrower than half of what it should be is no kernel.
func (l *layer) kernel(s, v float64) kernel {
	if !l.line {
		v += 1.0 / 4
	}
	return gaussianKernel(math.Sqrt(max(s*s-2*v, s*s/4)), false)
}

// At reads the plane at a place of the plane looked at: pixel centres stand at whole
// numbers. Beyond the edge the outermost pixels go on.
func (g Glimpse) At(x, y float64) float64 {
	x, y = (x+.5)*g.finer, (y+.5)*g.finer
	sum := 0.0
	for i := range g.layers {
		l := &g.layers[i]
		sum += l.weight * l.at(x*l.fx-.5, y*l.fy-.5)
	}
	return sum
}

// at reads over 3 × 3 pixels.
func (l *layer) at(x, y float64) float64 {
	i, j := math.Round(x), math.Round(y)
	weights := spline
	if l.line {
		weights = lines
	}
	across, down := weights(x-i), weights(y-j)
	left, mid, right := l.inside(int(i)-1), l.inside(int(i)), l.inside(int(i)+1)
	sum := 0.0
	for b, wy := range down {
		row := l.v[max(0, min(int(j)+b-1, l.h-1))*l.w:]
		sum += wy * (across[0]*float64(row[left]) + across[1]*float64(row[mid]) + across[2]*float64(row[right]))
	}
	return sum
}

func (l *layer) inside(x int) int { return max(0, min(x, l.w-1)) }

// spline is the weights of three pixels for a place off the middle one by t, −½…½,
// by a quadratic B-spline (Schoenberg 1946): mean t, and variance ¼ wherever the
// place falls. Straight lines blur by none at a centre and by most half way, which
// can't be made good.
func spline(t float64) [3]float64 {
	return [3]float64{(.5 - t) * (.5 - t) / 2, .75 - t*t, (.5 + t) * (.5 + t) / 2}
}

// lines is the same by straight lines.
func lines(t float64) [3]float64 {
	if t < 0 {
		return [3]float64{-t, 1 + t, 0}
	}
	return [3]float64{0, 1 - t, t}
}
