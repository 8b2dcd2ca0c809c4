package light

import (
	"math"

	"gapshade/colormath"
	"gapshade/segment"
)

// beltSample is one place on open bed.
type beltSample struct {
	x, y  float64
	light float64             // over that of the bed in the open
	rgb   [3]float64          // the same in each channel
	open  float64             // share of an even sky that is seen from there
	away  [directions]float64 // distance to the next tile in each direction, heights of a tile
}

// Limits (ours): samples are taken up to belt heights of a tile beyond the panel,
// and only where this share of the sky is seen: deeper in, the tiles' own light
// drowns the lamp's. No shadow is darker than a tenth of the light; nothing that is
// much brighter than the bed, or of another colour, is bed.
const (
	belt          = 2.2
	mostSamples   = 4000
	fewestSamples = 300
	leastOpen     = 0.3
	darkestShadow = 2.3 // log
	brightest     = 0.3 // log
	otherColour   = 0.35
)

// beltSamples gathers open bed in the panel and round it.
func beltSamples(pic *colormath.Picture, m *segment.Map, r Reading, height float64, threads int) []beltSample {
	found := openBed(pic, m, r, height)
	colormath.Rows(len(found), threads, func(a, b int) {
		for i := a; i < b; i++ {
			found[i].lookRound(m, height)
		}
	})
	n := 0
	for i := range found {
		if found[i].open >= leastOpen {
			found[n] = found[i]
			n++
		}
	}
	return found[:n]
}

// openBed takes pixels that are bed, all round, and look like it.
func openBed(pic *colormath.Picture, m *segment.Map, r Reading, height float64) []beltSample {
	f := r.Field
	around := m.Panel.Grown(belt * height)
	step := max(1, int(math.Sqrt((math.Abs(around.Area())-math.Abs(m.Panel.Area())*(1-m.GapShare))/mostSamples)))
	var bed [3]float64
	for c, v := range [3]float64{r.Bed.R, r.Bed.G, r.Bed.B} {
		bed[c] = math.Log(max(v, darkest)) - math.Log(f.Level(f.Middle()))
	}
	var out []beltSample
	for _, s := range around.Spans(m.W, m.H) {
		if s.Y%step != 0 {
			continue
		}
		for x := s.X0 - s.X0%step + step; x < s.X1; x += step {
			if !bedAt(m, x, s.Y) {
				continue
			}
			p := newSample(pic, f, x, s.Y)
			level := math.Log(f.Level(float64(x), float64(s.Y)))
			if z, ok := p.overBed(bed, level); ok {
				b := beltSample{x: float64(x), y: float64(s.Y), light: math.Exp(z)}
				for c := range b.rgb {
					b.rgb[c] = math.Exp(p.log[c] - bed[c] - level)
				}
				out = append(out, b)
			}
		}
	}
	return out
}

// bedAt says whether a pixel and its four neighbours show no tile.
func bedAt(m *segment.Map, x, y int) bool {
	if x < 1 || y < 1 || x >= m.W-1 || y >= m.H-1 {
		return false
	}
	i := y*m.W + x
	for _, k := range [...]int{i, i - 1, i + 1, i - m.W, i + m.W} {
		if m.Label[k] != 0 || m.Gap[k] != 0 && m.Gap[k] != 255 {
			return false
		}
	}
	return true
}

// overBed is the log of a sample's light over that of bed in the open at this level;
// not ok when it can be no bed, lit or in shadow.
func (s *sample) overBed(bed [3]float64, level float64) (z float64, ok bool) {
	z = s.mean() - (bed[0]+bed[1]+bed[2])/3 - level
	if z < -darkestShadow || z > brightest {
		return 0, false
	}
	for c := range bed {
		if math.Abs(s.log[c]-bed[c]-level-z) > otherColour {
			return 0, false
		}
	}
	return z, true
}

// lookRound measures how far the tiles are in each direction, and with that how
// much sky is seen over them: in each direction what lies above the elevation of
// their edge, which by the cosine law is away² ÷ (away² + height²).
func (s *beltSample) lookRound(m *segment.Map, height float64) {
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		a := tileAway(m, s.x, s.y, cos, sin, height) / height
		s.away[k] = a
		s.open += a * a / (a*a + 1) / directions
	}
}

// tileAway is the distance from a place to the next tile in a direction, px, to a
// twentieth of a height; at most three heights, beyond what the lowest lamp reaches.
func tileAway(m *segment.Map, x, y, dx, dy, height float64) float64 {
	far, step := 3*height, max(height/20, .5)
	for d := step; d < far; d += step {
		i, j := int(x+d*dx+.5), int(y+d*dy+.5)
		if i < 0 || j < 0 || i >= m.W || j >= m.H {
			return far
		}
		if k := j*m.W + i; m.Label[k] > 0 && m.Gap[k] < 128 {
			return d
		}
	}
	return far
}
