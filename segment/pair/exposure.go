package pair

import (
	"math"
	"slices"

	"gapshade/colormath"
)

// Exposure is what the second photo has to be multiplied by to show as the first does
// what no paper changed: per channel exp(c0 + c1·u + c2·v). Between two photos a lamp
// doesn't move, the sun hardly and the camera's exposure a lot, so a slope is enough.
type Exposure struct {
	g    grid
	coef [3][3]float64
}

// sample is a small square that both photos show with tone: the logarithms of first ÷
// second per channel and of the luminances, and how much it counts.
type sample struct {
	x                 int // its column
	u, v, lum, weight float64
	log               [3]float64
}

// sampleSide is a sample's side, px: smaller than a face, and large enough that a photo
// that lies a pixel off changes it little.
const sampleSide = 4

// Tone, in linear light: darker, eight bits tell no ratio; lighter, a channel stands at
// the photo's white (8-bit 251).
const (
	darkest = 0.004
	burnt   = 0.96
)

// Match reads the exposure off everything that both photos show, b in a's frame. What
// the paper left alone, faces and the table round the sheet, has one ratio and gives a
// sharp peak in the histogram of all ratios; open bed gives another one, broader for the
// shadows in it and far off. face, 0…1 or nil, says where somebody thinks to see faces:
// a place counts by it, but never less than least.
func Match(a, b *colormath.Picture, face *Plane, least float64, threads int) Exposure {
	e := Exposure{g: gridOf(a.W, a.H)}
	s := e.samples(a, b, face, least, threads)
	if len(s) == 0 {
		return e
	}
	peak := peakOf(s, func(s *sample) float64 { return s.lum }, 0, peakReach)
	towards := side(s, peak)
	for c := range e.coef {
		e.coef[c] = fitted(s, c, peakOf(s, func(s *sample) float64 { return s.log[c] }, peak, nearPeak), towards)
	}
	return e
}

// samples averages squares of both pictures.
func (e *Exposure) samples(a, b *colormath.Picture, face *Plane, least float64, threads int) []sample {
	nx, ny := a.W/sampleSide, a.H/sampleSide
	rows := make([][]sample, ny)
	colormath.Rows(ny, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range nx {
				if s, ok := sampled(a, b, face, least, x*sampleSide, y*sampleSide); ok {
					s.u, s.v = e.g.at((float64(x)+.5)*sampleSide-.5, (float64(y)+.5)*sampleSide-.5)
					s.x = x
					rows[y] = append(rows[y], s)
				}
			}
		}
	})
	prefer(rows)
	return slices.Concat(rows...)
}

// prefer lets samples with a neighbour of another ratio count little: beside an edge the
// paper throws light on a face, and a lens smears it.
func prefer(rows [][]sample) {
	like := func(a, b *sample) bool { return math.Abs(a.lum-b.lum) < clearly/2 }
	alone := make([][]bool, len(rows))
	for y, row := range rows {
		alone[y] = make([]bool, len(row))
		next := 0 // in the row above
		for i := range row {
			s := &row[i]
			if i > 0 && (row[i-1].x+1 < s.x || !like(&row[i-1], s)) {
				alone[y][i], alone[y][i-1] = true, true
			}
			if y == 0 {
				continue
			}
			up := rows[y-1]
			for next < len(up) && up[next].x < s.x {
				next++
			}
			if next < len(up) && up[next].x == s.x && !like(&up[next], s) {
				alone[y][i], alone[y-1][next] = true, true
			}
		}
	}
	for y, row := range rows {
		for i := range row {
			if alone[y][i] {
				row[i].weight *= besideEdge
			}
		}
	}
}

// besideEdge is the weight of a sample beside another ratio: where all are, they still
// tell.
const besideEdge = 0.05

func sampled(a, b *colormath.Picture, face *Plane, least float64, x0, y0 int) (s sample, ok bool) {
	var p, q [3]float64
	for y := y0; y < y0+sampleSide; y++ {
		for x := x0; x < x0+sampleSide; x++ {
			i := y*a.W + x
			for c := range 3 {
				u, v := a.Pix[3*i+c], b.Pix[3*i+c]
				if u >= burnt || v >= burnt {
					return s, false
				}
				p[c], q[c] = p[c]+float64(u), q[c]+float64(v)
			}
			if face != nil {
				s.weight += float64(face.V[i]) / (sampleSide * sampleSide)
			}
		}
	}
	for c := range 3 {
		if min(p[c], q[c]) < darkest*sampleSide*sampleSide {
			return s, false
		}
		s.log[c] = math.Log(p[c] / q[c])
	}
	s.lum = math.Log(luminance(p) / luminance(q))
	s.weight = max(s.weight, least)
	if face == nil {
		s.weight = 1
	}
	return s, true
}

func luminance(c [3]float64) float64 { return .2126*c[0] + .7152*c[1] + .0722*c[2] }

// The histogram of ratios, in logarithms: its bins, as far as it goes, how far each
// channel's peak may lie from that of the luminance, and over how many bins counts are
// added up, because noise and a slope of light smear a peak by a few hundredths.
const (
	bin       = 0.02
	peakReach = 4.0
	nearPeak  = 0.5
	together  = 3
)

// likelyRatio is how far from 1, as a logarithm, exposures differ as a matter of course:
// a camera that takes white paper for light makes everything darker, to half or a third
// at most, and the ratio of two papers, black to white, is thirty.
const likelyRatio = 2.0

// peakOf is the middle of the highest peak within reach of from.
func peakOf(s []sample, value func(*sample) float64, from, reach float64) float64 {
	n := int(2*reach/bin) + 1
	count := make([]float64, n)
	for i := range s {
		if k := int(math.Floor((value(&s[i])-from+reach)/bin + .5)); k >= 0 && k < n {
			count[k] += s[i].weight
		}
	}
	best, at := -1.0, from
	for k := range n {
		sum := 0.0
		for j := max(0, k-together); j <= min(n-1, k+together); j++ {
			sum += count[j] * (1 - math.Abs(float64(j-k))/(together+1))
		}
		z := from - reach + float64(k)*bin
		if sum *= math.Exp(-math.Abs(z) / likelyRatio); sum > best {
			best, at = sum, z
		}
	}
	return at
}

// clearly is a ratio that is no noise, as a logarithm.
const clearly = 0.15

// side says on which side of the peak lies what the paper changed: +1 where the first
// photo is lighter, −1 where the second one is.
func side(s []sample, peak float64) float64 {
	above, below := 0.0, 0.0
	for i := range s {
		switch d := s[i].lum - peak; {
		case d > clearly:
			above++
		case d < -clearly:
			below++
		}
	}
	if above >= below {
		return 1
	}
	return -1
}

// faceSpread is how far what no paper touched differs between two photos of the same
// exposure, as a logarithm: nine squares in ten lie within 2 to 4 % on path-traced pairs.
const faceSpread = 0.02

// throughBias is how much less a sample counts that shows more light on the lighter
// paper than one that shows less: a tile that light passes is lighter on lighter paper,
// never darker.
const throughBias = 0.25

// fitted is one channel's field: from the peak with everything near it to what agrees
// with it strictly.
func fitted(s []sample, c int, peak, towards float64) (coef [3]float64) {
	coef[0] = peak
	for round := range 10 {
		scale := max(faceSpread, .08/float64(int(1)<<min(round, 6)))
		m := [][]float64{make([]float64, 4), make([]float64, 4), make([]float64, 4)}
		for i := range s {
			b := [3]float64{1, s[i].u, s[i].v}
			r := s[i].log[c] - coef[0] - coef[1]*b[1] - coef[2]*b[2]
			weight := s[i].weight * biweight(r/scale)
			if weight == 0 {
				continue
			}
			if r*towards > 0 {
				weight *= 1 - (1-throughBias)*min(1, math.Abs(r)/scale)
			}
			for j := range b {
				for k := range b {
					m[j][k] += weight * b[j] * b[k]
				}
				m[j][3] += weight * b[j] * s[i].log[c]
			}
		}
		if m[0][0] == 0 {
			break
		}
		// A few squares don't tell a slope.
		m[1][1] += fewSquares
		m[2][2] += fewSquares
		copy(coef[:], solve(m))
	}
	return coef
}

// fewSquares is how many samples at the picture's edge tell half of a slope.
const fewSquares = 20

// At gives the factors at a place, R, G, B.
func (e *Exposure) At(x, y float64) (k [3]float64) {
	u, v := e.g.at(x, y)
	for c, f := range e.coef {
		k[c] = math.Exp(f[0] + f[1]*u + f[2]*v)
	}
	return k
}

// Apply brings a picture of the second photo, in the first one's frame, to the
// first one's exposure.
func (e *Exposure) Apply(pic *colormath.Picture, threads int) {
	var along [3]float64 // from one pixel to the next
	for c, f := range e.coef {
		along[c] = math.Exp(f[1] / e.g.half)
	}
	colormath.Rows(pic.H, threads, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			k := e.At(0, float64(y))
			row := pic.Pix[3*y*pic.W : 3*(y+1)*pic.W]
			for i := range row {
				row[i] *= float32(k[i%3])
				k[i%3] *= along[i%3]
			}
		}
	})
}
