package contrast

import (
	"math"

	"gapshade/colormath"
)

// Doubt is the panel as it might be just as well: everything read again with the
// bed's L*, a* and b* one up and one down, and with the edges of the gaps half a
// pixel out and in. What these do to the scores is what the photo can't tell.
type Doubt struct{ pairs [][2]*Panel }

// edgePx is how far an edge may lie from where it was found.
const edgePx = 0.5

// NewDoubt prepares the repetitions. gains are, for each doubt about the light,
// what multiplies the tiles' reflectances one way and the other (light.Doubt).
// deeper are the tiles' colours read one pixel further in (DeeperColours); the
// finder is not run again, because half a pixel changes no neighbour.
func NewDoubt(p *Panel, gains [][2]colormath.LinearRGB, deeper []colormath.Lab) *Doubt {
	d := &Doubt{}
	for _, g := range gains {
		d.pairs = append(d.pairs, [2]*Panel{p.under(g[0]), p.under(g[1])})
	}
	d.pairs = append(d.pairs, [2]*Panel{p.edged(deeper, edgePx), p.edged(deeper, -edgePx)})
	return d
}

// under is the panel with every reflectance multiplied.
func (p *Panel) under(gain colormath.LinearRGB) *Panel {
	q := *p
	q.Lab = make([]colormath.Lab, len(p.Lab))
	for i, c := range p.Lab {
		l := c.LinearRGB()
		q.Lab[i] = colormath.LinearRGB{R: l.R * gain.R, G: l.G * gain.G, B: l.B * gain.B}.Lab()
	}
	q.own = q.mean()
	return &q
}

// edged is the panel with the joints wider by px on either side: the cores begin
// as much further in, which moves their colour by that part of what one pixel
// does, and the tiles lose a rim as long as a square's of their size.
func (p *Panel) edged(deeper []colormath.Lab, px float64) *Panel {
	q := *p
	q.Lab, q.area = make([]colormath.Lab, len(p.Lab)), make([]float64, len(p.area))
	q.total = 0
	rims := 0.0
	for i, c := range p.Lab {
		d := deeper[i]
		q.Lab[i] = colormath.Lab{L: c.L + px*(d.L-c.L), A: c.A + px*(d.A-c.A), B: c.B + px*(d.B-c.B)}
		rim := 4 * px * math.Sqrt(p.Map.Tiles[i].AreaPx)
		rims += rim
		if p.area[i] > 0 {
			q.area[i] = max(p.area[i]-rim, .1*p.area[i])
			q.total += q.area[i]
		}
	}
	q.share = min(max(p.share+rims/max(p.Map.PanelPx, 1), 0), 1)
	q.own = q.mean()
	q.Clusters = make([]Cluster, len(p.Clusters))
	for i, k := range q.Of {
		if k >= 0 {
			q.Clusters[k].AreaShare += q.area[i] / q.total
		}
	}
	return &q
}

// Again are a shade's scores in the repetitions.
type Again [][2]float64

// Score rates a shade in every repetition.
func (d *Doubt) Score(aim string, shade colormath.Lab) Again {
	out := make(Again, len(d.pairs))
	for i, pair := range d.pairs {
		for k, p := range pair {
			out[i][k] = p.Terms(aim, shade).Score(aim)
		}
	}
	return out
}

// Own is how far a score is in doubt, in points: half of what each doubt moves it
// by, the doubts being independent of each other.
func (a Again) Own() float64 { return a.Apart(make(Again, len(a))) }

// Apart is the same for the difference of two scores.
func (a Again) Apart(b Again) float64 {
	sum := 0.0
	for i := range a {
		half := ((a[i][0] - b[i][0]) - (a[i][1] - b[i][1])) / 2
		sum += half * half
	}
	return math.Sqrt(sum)
}

// sameScore: below half a point nobody would choose by the score, however sure it
// is.
const sameScore = 0.5

// TooClose reports whether two shades are too close to call: their scores a and b
// differ by no more than the photo leaves either of them, or their difference, in
// doubt. The difference alone would be too strict: two greys on the same side of
// all tiles move together in every repetition, and half a step of lightness between
// them, which nobody sees, would pass for certain.
func TooClose(a, b float64, again, other Again) bool {
	return math.Abs(a-b) <= max(again.Own(), other.Own(), again.Apart(other), sameScore)
}
