package pair

import (
	"math"
	"slices"

	"gapshade/colormath"
)

// Sample is one tile as both photos show it: linear light of its face, mean over the
// same pixels.
type Sample struct {
	X, Y          float64 // its middle, px
	Area          float64 // pixels that were averaged
	First, Second [3]float64
}

// Exposure is what the second photo has to be multiplied by to show faces as the
// first does: per channel exp(c0 + c1·u + c2·v). Between two photos a lamp doesn't
// move, the sun hardly and the camera's exposure a lot, so a slope is enough.
type Exposure struct {
	g    grid
	coef [3][3]float64
}

// Match reads the exposure off the faces of tiles in a w × h picture. A tile that lets
// light through is lighter on lighter paper, never darker; lighter says which photo
// that is, and tiles that stick out on that side count for less. Without samples the
// exposures are taken as equal.
func Match(samples []Sample, w, h int, firstLighter bool) Exposure {
	e := Exposure{g: gridOf(w, h)}
	for c := range e.coef {
		e.coef[c] = e.channel(samples, c, firstLighter)
	}
	return e
}

// faceSpread is how far a face's brightness differs between two photos of the same
// exposure, as a logarithm: paper throws light on bevels and noise does the rest. On
// path-traced pairs nine tiles in ten lie within 2 %.
const faceSpread = 0.02

// throughBias is how much less a tile counts that shows more light on the lighter
// paper than one that shows less.
const throughBias = 0.25

// channel fits one channel: from the quarter of tiles that changed least towards
// the lighter paper, to all that agree with them.
func (e *Exposure) channel(samples []Sample, c int, firstLighter bool) (coef [3]float64) {
	var z []float64
	var kept []Sample
	for _, s := range samples {
		if s.First[c] > 0 && s.Second[c] > 0 {
			kept = append(kept, s)
			z = append(z, math.Log(s.First[c]/s.Second[c]))
		}
	}
	if len(kept) == 0 {
		return coef
	}
	sorted := slices.Sorted(slices.Values(z))
	q := .35
	if !firstLighter {
		q = 1 - q
	}
	coef[0] = colormath.Quantile(sorted, q)
	for round := range 12 {
		scale := max(faceSpread, .2/float64(int(1)<<min(round, 6))) // from generous to strict
		m := [][]float64{make([]float64, 4), make([]float64, 4), make([]float64, 4)}
		for i, s := range kept {
			u, v := e.g.at(s.X, s.Y)
			b := [3]float64{1, u, v}
			r := z[i] - coef[0] - coef[1]*u - coef[2]*v
			weight := math.Sqrt(s.Area) * biweight(r/scale)
			if (r > 0) == firstLighter {
				weight *= 1 - (1-throughBias)*min(1, math.Abs(r)/scale)
			}
			for j := range b {
				for k := range b {
					m[j][k] += weight * b[j] * b[k]
				}
				m[j][3] += weight * b[j] * z[i]
			}
		}
		if m[0][0] == 0 {
			break
		}
		// Two or three tiles don't tell a slope.
		m[1][1] += 2 * m[0][0] / float64(len(kept))
		m[2][2] += 2 * m[0][0] / float64(len(kept))
		copy(coef[:], solve(m))
	}
	return coef
}

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
