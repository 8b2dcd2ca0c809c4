package light

import (
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/segment"
)

// Lamp is the part of the light that comes from one side, as the shadows tell it
// that the tiles throw on the bed.
type Lamp struct {
	X, Y   float64 // the direction towards the lamp in the picture, of length 1; zeros when none is seen
	Reach  float64 // how far the shadow of a tile's upper edge falls, px
	Soft   float64 // half the width of the shadow's edge over Reach
	Share  float64 // of all light on open bed, 0…1
	k int
	left float64
	Open float64
	Height float64 // the height of the tiles that throw it, px, as it was given
}

// Lit is the share of the lamp that reaches a place whose nearest tile in its
// direction is away px off, where the edge's shadow falls reach px.
func (l *Lamp) Lit(away, reach float64) float64 {
	// A logistic step, for the Gaussian's integral of the same slope: 1.7
	// (Camilli, Teacher's Corner, J. Educ. Behav. Stat. 19, 293, 1994).
	return 1 / (1 + math.Exp(-1.7*(away-reach)/(l.Soft*reach)))
}

// What shadows are looked for: their reach in heights of a tile, lamps between 20°
// and 75° above the panel, and their softness, from a bare lamp to a wide window.
var (
	reaches = []float64{.27, .4, .55, .75, 1, 1.3, 1.7}
	softs   = []float64{.15, .3, .5}
)

// Directions that are tried, all round.
const directions = 24

// Limits of what counts (ours). Samples are taken up to belt heights from the panel
// and farthest heights from a tile; a lamp must explain this much of the unevenness
// there, and give this much of the light.
const (
	shadowBelt      = 2.2
	mostSamples     = 2500
	fewestSamples   = 300
	leastExplained  = 0.35
	leastShare      = 0.12
	darkestShadow   = 2.3 // log: a tenth of the light
	brightestInBelt = 0.3 // log
)

// ReadLamp looks for the lamp in the shadows beside the panel, on open bed, where
// nothing but the outermost tiles stands in its way and nothing shines back.
// height is the tiles' height, px. The zero Lamp, when there is no bed to see it on
// or the shadows follow no lamp.
func ReadLamp(pic *colormath.Picture, m *segment.Map, r Reading, height float64) Lamp {
	none := Lamp{Height: height}
	if height < 1 {
		return none
	}
	s := shadowSamples(pic, m, r, height)
	if len(s) < fewestSamples {
		return none
	}
	away := make([][directions]float64, len(s))
	colormath.Rows(len(s), 0, func(a, b int) {
		for i := a; i < b; i++ {
			for k := range directions {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
				away[i][k] = tileAway(m, s[i].x, s[i].y, cos, sin, shadowBelt*height)
			}
		}
	})
	n := 0
	for i := range s {
		if openness(away[i][:], height) > .3 {
			s[n], away[n] = s[i], away[i]
			n++
		}
	}
	s, away = s[:n], away[:n]
	var best Lamp
	for range 3 {
		var c [3]float64
		best, c = bestLamp(s, away, height)
		s, away = trimmed(s, away, best, c)
	}
	if best.Share < leastShare || best.left > 1-leastExplained {
		return none
	}
	return best
}

// shadowSample is one bed pixel beside the panel.
type shadowSample struct{ x, y, light float64 } // light over that of the open bed there

// shadowSamples takes bed pixels from a belt round the panel.
func shadowSamples(pic *colormath.Picture, m *segment.Map, r Reading, height float64) []shadowSample {
	f := r.Field
	belt := shadowBelt * height
	lo, hi := box(m.Panel)
	step := max(1, int(math.Sqrt(2*belt*(hi.X-lo.X+hi.Y-lo.Y)/mostSamples)))
	bed := [3]float64{math.Log(max(r.Bed.R, darkest)), math.Log(max(r.Bed.G, darkest)), math.Log(max(r.Bed.B, darkest))}
	at := math.Log(f.Level(f.Middle()))
	var out []shadowSample
	for _, s := range m.Panel.Grown(belt).Spans(m.W, m.H) {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0; x < s.X1; x += step {
			if !openBed(m, x, s.Y) {
				continue
			}
			p := newSample(pic, f, x, s.Y)
			open := math.Log(f.Level(float64(x), float64(s.Y))) - at
			if z, ok := p.over(bed, open); ok {
				out = append(out, shadowSample{float64(x), float64(s.Y), math.Exp(z)})
			}
		}
	}
	return out
}

func openBed(m *segment.Map, x, y int) bool {
	if x < 1 || y < 1 || x >= m.W-1 || y >= m.H-1 {
		return false
	}
	i := y*m.W + x
	for _, k := range [5]int{i, i - 1, i + 1, i - m.W, i + m.W} {
		if m.Label[k] != 0 || m.Gap[k] != 0 && m.Gap[k] != 255 {
			return false
		}
	}
	return true
}

// over is the log of a sample's light over that of the bed in the open; not ok when
// it can't be bed at all, lit or in shadow.
func (s *sample) over(bed [3]float64, open float64) (z float64, ok bool) {
	z = s.mean() - (bed[0]+bed[1]+bed[2])/3 - open
	if z < -darkestShadow || z > brightestInBelt {
		return 0, false
	}
	for c := range bed {
		if math.Abs(s.log[c]-bed[c]-open-z) > .35 {
			return 0, false
		}
	}
	return z, true
}

// tileAway is the distance from a place to the first tile in a direction, px, at
// most far.
func tileAway(m *segment.Map, x, y, dx, dy, far float64) float64 {
	for d := 0.5; d < far; d++ {
		i, j := int(math.Round(x+d*dx)), int(math.Round(y+d*dy))
		if i < 0 || j < 0 || i >= m.W || j >= m.H {
			return far
		}
		if k := j*m.W + i; m.Label[k] > 0 && m.Gap[k] < 128 {
			return d
		}
	}
	return far
}

// bestLamp tries all lamps and keeps the one that leaves least unexplained.
// The light at a place is modelled as base + share·Lit + sky·Open.
func bestLamp(s []shadowSample, away [][directions]float64, height float64) (Lamp, [3]float64) {
	open := make([]float64, len(s))
	for i := range s {
		open[i] = openness(away[i][:], height)
	}
	light := make([]float64, len(s))
	for i := range s {
		light[i] = s[i].light
	}
	best, least, coef := Lamp{Height: height}, math.Inf(1), [3]float64{1}
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		for _, reach := range reaches {
			for _, soft := range softs {
				l := Lamp{X: cos, Y: sin, Reach: reach * height, Soft: soft, Height: height, k: k}
				c, left := l.explain(s, away, open, k)
				if left < least && c[1] > 0 {
					least, best, coef = left, l, c
					best.Share = min(c[1]/max(c[0]+c[1]+c[2], 1e-3), 1)
				}
			}
		}
	}
	best.left = least/squares(light)
	best.Open=coef[0]+coef[1]+coef[2]
println(len(s),int(100*best.X),int(100*best.Y),int(100*best.Reach/best.Height),int(100*best.Share),int(100*best.Soft),int(1000*best.Open),int(1000*best.left))
	return best, coef
}

// trimmed leaves out what the model can't explain: table, cables, a glint.
func trimmed(s []shadowSample, away [][directions]float64, l Lamp, c [3]float64) ([]shadowSample, [][directions]float64) {
	off := make([]float64, len(s))
	for i := range s {
		off[i] = math.Abs(s[i].light - c[0] - c[1]*l.Lit(away[i][l.k], l.Reach) - c[2]*openness(away[i][:], l.Height))
	}
	limit := 3 * 1.48 * colormath.Median(slices.Clone(off))
	var s2 []shadowSample
	var away2 [][directions]float64
	for i := range s {
		if off[i] <= limit {
			s2, away2 = append(s2, s[i]), append(away2, away[i])
		}
	}
	return s2, away2
}

// openness is the share of an even sky that a place sees over tiles of a height:
// in each direction that above their upper edge (the cosine law integrated from
// the edge's elevation upwards is away² ÷ (away² + height²)).
func openness(away []float64, height float64) float64 {
	sum := 0.0
	for _, a := range away {
		sum += a * a / (a*a + height*height)
	}
	return sum / float64(len(away))
}

// explain fits the model by least squares, and says what is left of the squares.
func (l *Lamp) explain(s []shadowSample, away [][directions]float64, open []float64, k int) (c [3]float64, left float64) {
	var a [3][4]float64
	total := 0.0
	for i := range s {
		b := [4]float64{1, l.Lit(away[i][k], l.Reach), open[i], s[i].light}
		for r := range 3 {
			for q := r; q < 4; q++ {
				a[r][q] += b[r] * b[q]
			}
		}
		total += b[3] * b[3]
	}
	for r := range 3 {
		for q := range r {
			a[r][q] = a[q][r]
		}
		a[r][r] += 1e-6 * float64(len(s))
	}
	rhs := [3]float64{a[0][3], a[1][3], a[2][3]}
	c = solve3(a)
	return c, total - c[0]*rhs[0] - c[1]*rhs[1] - c[2]*rhs[2]
}

// solve3 is Cramer's rule.
func solve3(a [3][4]float64) (x [3]float64) {
	det := func(p, q, r int) float64 {
		return a[0][p]*(a[1][q]*a[2][r]-a[1][r]*a[2][q]) - a[0][q]*(a[1][p]*a[2][r]-a[1][r]*a[2][p]) + a[0][r]*(a[1][p]*a[2][q]-a[1][q]*a[2][p])
	}
	d := det(0, 1, 2)
	if math.Abs(d) < 1e-12 {
		return x
	}
	return [3]float64{det(3, 1, 2) / d, det(0, 3, 2) / d, det(0, 1, 3) / d}
}

// squares is the sum of squares about the mean.
func squares(v []float64) float64 {
	mean := 0.0
	for _, x := range v {
		mean += x / float64(len(v))
	}
	sum := 0.0
	for _, x := range v {
		sum += (x - mean) * (x - mean)
	}
	return sum
}

