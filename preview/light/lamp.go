package light

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// Lamp is the part of the light that comes from one side, as told by the shadows
// that the tiles throw on the bed. The zero value is light from all round.
type Lamp struct {
	X, Y  float64    // the direction towards the lamp in the picture, of length 1
	Reach float64    // how far the shadow of an edge falls per height of the edge: 1 at 45°
	Soft  float64    // half the width of the shadow's rim, over how far it falls
	Share [3]float64 // of all light on open bed in R, G and B, 0…1: a lamp is seldom as blue as the sky
}

// Lit is the share of the lamp that reaches a place away px from the next wall in
// its direction, depth px below that wall's upper edge.
func (l *Lamp) Lit(away, depth float64) float64 {
	// A logistic step stands for the integral of a Gaussian of σ = Soft when its
	// argument is scaled by 1.7 (Camilli, J. Educ. Behav. Stat. 19, 293, 1994;
	// from memory).
	fall := l.Reach * depth
	return 1 / (1 + math.Exp(-1.7*(away-fall)/(l.Soft*fall)))
}

// Far is a distance beyond which no wall matters at this depth, px.
func (l *Lamp) Far(depth float64) float64 { return 2.5 * l.Reach * depth }

// The lamps that are tried: in 24 directions all round, 75° to 30° high, bare or as
// wide as a window.
const directions = 24

var (
	reaches = [...]float64{.27, .4, .55, .75, 1, 1.3, 1.7}
	softs   = [...]float64{.15, .3, .5}
)

// What a lamp must do to be believed: give this share of the light and leave at most
// this share of the unevenness unexplained. Lamps and windows of drawn panels leave
// 3 to 11 %, soft boxes all round 35 to 54 %, and have a share below .3 (ours).
//
// Whatever is off by less than leastOff of the light is never left out.
const (
	leastOff        = 0.2
	leastShare      = 0.12
	mostUnexplained = 0.65
)

// ReadLamp looks for the lamp on open bed, in gaps that see much of the sky and
// beside the panel, where little shines back. height is how high the tiles stand,
// px. The zero Lamp, when there is no such bed or no lamp explains its shadows.
func ReadLamp(pic *colormath.Picture, m *segment.Map, r Reading, height float64, threads int) Lamp {
	if height < 1 {
		return Lamp{}
	}
	s := beltSamples(pic, m, r, height, threads)
	t := trial{first: 0, last: directions, softs: softs[1:2]}
	for pass := range 3 { // all round; then again near the best, without what it can't explain
		if len(s) < fewestSamples {
			return Lamp{}
		}
		if pass == 0 {
			t = t.best(thinned(s))
		} else {
			t = t.best(s)
		}
		s = t.explained(s)
		t.first, t.last, t.softs = t.direction-1, t.direction+2, softs[:]
	}
	if share := t.coef[1] / max(t.coef[0]+t.coef[1]+t.coef[2], 1e-3); share < leastShare || t.left > mostUnexplained {
		return Lamp{}
	}
	for c := range t.lamp.Share {
		coef, _ := t.lamp.explain(s, t.direction, func(s *beltSample) float64 { return s.rgb[c] })
		t.lamp.Share[c] = min(max(coef[1]/max(coef[0]+coef[1]+coef[2], 1e-3), 0), 1)
	}
	return t.lamp
}

// thinned is every third sample: enough to find the direction.
func thinned(s []beltSample) (out []beltSample) {
	for i := 0; i < len(s); i += 3 {
		out = append(out, s[i])
	}
	return out
}

// trial is a search among lamps, and the best of them.
type trial struct {
	first, last int // directions, counted round and round
	softs       []float64

	lamp      Lamp
	direction int
	coef      [3]float64 // base, lamp, sky
	left      float64    // squares that it leaves, over all squares about the mean
}

// best tries the lamps. The light at a place is modelled as base + lamp·Lit +
// sky·open: what is everywhere, what the lamp gives where it is seen, what comes
// from as much of the sky as is seen.
func (t trial) best(s []beltSample) trial {
	least := math.Inf(1)
	for k := t.first; k < t.last; k++ {
		d := (k + directions) % directions
		sin, cos := math.Sincos(2 * math.Pi * float64(d) / directions)
		for _, reach := range reaches {
			for _, soft := range t.softs {
				l := Lamp{X: cos, Y: sin, Reach: reach, Soft: soft}
				coef, left := l.explain(s, d, func(s *beltSample) float64 { return s.light })
				if left < least && coef[1] > 0 {
					least = left
					t.lamp, t.direction, t.coef = l, d, coef
				}
			}
		}
	}
	t.left = least / squares(s)
	return t
}

// explain fits the model by least squares, and says what is left of the squares.
// Heights are 1 here: distances of a sample are in heights.
func (l *Lamp) explain(s []beltSample, d int, light func(*beltSample) float64) (coef [3]float64, left float64) {
	var a [3][4]float64
	total := 0.0
	for i := range s {
		b := [4]float64{1, l.Lit(s[i].away[d], 1), s[i].open, light(&s[i])}
		for r := range 3 {
			for c := range 4 {
				a[r][c] += b[r] * b[c]
			}
		}
		total += b[3] * b[3]
	}
	for r := range a {
		a[r][r] += 1e-6 * float64(len(s)) // a term that is the same everywhere stays small
	}
	coef = cramer(a)
	return coef, total - coef[0]*a[0][3] - coef[1]*a[1][3] - coef[2]*a[2][3]
}

// cramer solves three equations by Cramer's rule; zeros where they have no answer.
func cramer(a [3][4]float64) [3]float64 {
	det := func(p, q, r int) float64 {
		return a[0][p]*(a[1][q]*a[2][r]-a[1][r]*a[2][q]) - a[0][q]*(a[1][p]*a[2][r]-a[1][r]*a[2][p]) + a[0][r]*(a[1][p]*a[2][q]-a[1][q]*a[2][p])
	}
	d := det(0, 1, 2)
	if math.Abs(d) < 1e-12 {
		return [3]float64{}
	}
	return [3]float64{det(3, 1, 2) / d, det(0, 3, 2) / d, det(0, 1, 3) / d}
}

// explained leaves out what the best lamp can't explain: table beside the paper,
// a cable, a glint. Three standard deviations, by the middle deviation.
func (t *trial) explained(s []beltSample) []beltSample {
	off := make([]float64, len(s))
	for i := range s {
		off[i] = math.Abs(s[i].light - t.coef[0] - t.coef[1]*t.lamp.Lit(s[i].away[t.direction], 1) - t.coef[2]*s[i].open)
	}
	sorted := append([]float64(nil), off...)
	// 1.4826 takes the middle deviation to σ of a Gaussian (Huber, Robust Statistics,
	// 1981; from memory); where most of the bed is in even light that is next to nothing, and the
	// shadows themselves must not pass for what can't be explained.
	limit := max(3*1.4826*colormath.Median(sorted), leastOff)
	var out []beltSample
	for i := range s {
		if off[i] <= limit {
			out = append(out, s[i])
		}
	}
	return out
}

// squares is the sum of squares of the light about its mean.
func squares(s []beltSample) float64 {
	var n, sum, sq float64
	for i := range s {
		n, sum, sq = n+1, sum+s[i].light, sq+s[i].light*s[i].light
	}
	return max(sq-sum*sum/max(n, 1), 1e-12)
}
