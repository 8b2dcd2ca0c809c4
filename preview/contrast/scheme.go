package contrast

import (
	"math"
	"slices"
	"sync"

	"gapshade/colormath"
	"gapshade/segment"
)

// scheme is the panel reduced to flat tiles and joints: what the eye's filters
// and the straight lines are looked for in. It holds no colour and no texture, so
// that glare, grain and shadows of the photo don't pass for tiles.
type scheme struct {
	w, h   int
	side   int             // of a cell, frame px
	x0, y0 int             // frame px of the first cell's corner
	joint  colormath.Plane // share of joint per cell; outside the panel its mean
	out    []bool          // the cell lies outside the panel
	near   []uint16        // the tile in the cell, or the one nearest to it
	depth  []int16         // how deep inside its tile a cell lies, in thirds of a cell; 0 in the joint; far inside until findCores
	across [][]place       // per border: middles of the joint along it
	cores  [][]place       // per tile: its inner cells, once findCores was called
	cored  sync.Once
}

// place is a point of the scheme, in cells: cell (0, 0) has its middle at 0, 0.
type place struct{ x, y float32 }

// How fine a scheme is (ours): the middle gap is schemeGap cells wide where the
// photo allows, and there are no more than schemeCells, which is many for what
// an eye sees and few to filter.
const (
	schemeGap   = 4
	schemeCells = 600_000
)

// newScheme reduces a map.
func newScheme(m *segment.Map, threads int) *scheme {
	lo, hi := bounds(m.Inside)
	box := float64(hi.x-lo.x) * float64(hi.y-lo.y)
	side := math.Ceil(math.Sqrt(box / schemeCells))
	if gap := m.GapWidthPx.P50; !math.IsNaN(gap) { // else none could be measured
		side = max(side, math.Floor(gap/schemeGap))
	}
	s := &scheme{side: max(1, int(side)), x0: lo.x, y0: lo.y}
	s.w, s.h = max(1, (hi.x-lo.x+s.side-1)/s.side), max(1, (hi.y-lo.y+s.side-1)/s.side)
	s.joint, s.out, s.near = colormath.NewPlane(s.w, s.h), make([]bool, s.w*s.h), make([]uint16, s.w*s.h)
	s.count(m, threads)
	s.spread()
	s.findEdges()
	s.findMiddles(m)
	return s
}

type pixel struct{ x, y int }

// bounds is the box round the panel's pixels, the far corner not included.
func bounds(inside []segment.Span) (lo, hi pixel) {
	lo = pixel{math.MaxInt, math.MaxInt}
	for _, s := range inside {
		lo.x, lo.y = min(lo.x, s.X0), min(lo.y, s.Y)
		hi.x, hi.y = max(hi.x, s.X1), max(hi.y, s.Y+1)
	}
	if len(inside) == 0 {
		return pixel{}, pixel{}
	}
	return lo, hi
}

// cellCount adds up one cell: panel pixels, their share of joint, and the tile
// that most of them show (the majority vote of Boyer and Moore, 1981: exact where
// one tile has more than half of the tile pixels, which is nearly everywhere).
type cellCount struct {
	inside, gap int32
	votes       int32
	tile        uint16
}

// count fills joint, out and near, and puts the panel's mean outside it.
func (s *scheme) count(m *segment.Map, threads int) {
	colormath.Rows(s.h, threads, func(a, b int) {
		row := make([]cellCount, s.w)
		first, _ := slices.BinarySearchFunc(m.Inside, s.y0+a*s.side, func(sp segment.Span, y int) int { return sp.Y - y })
		for j := a; j < b; j++ {
			clear(row)
			for ; first < len(m.Inside) && m.Inside[first].Y < s.y0+(j+1)*s.side; first++ {
				s.countSpan(m, m.Inside[first], row)
			}
			s.take(j, row)
		}
	})
	var sum, n float64
	for i, out := range s.out {
		if !out {
			sum, n = sum+float64(s.joint.V[i]), n+1
		}
	}
	for i, out := range s.out {
		if out {
			s.joint.V[i] = float32(sum / max(n, 1))
		}
	}
}

func (s *scheme) countSpan(m *segment.Map, sp segment.Span, row []cellCount) {
	at := sp.Y * m.W
	for x := sp.X0; x < sp.X1; {
		c := &row[(x-s.x0)/s.side]
		end := min(sp.X1, s.x0+((x-s.x0)/s.side+1)*s.side)
		c.inside += int32(end - x)
		for i := at + x; i < at+end; i++ {
			c.gap += int32(m.Gap[i])
			switch t := m.Label[i]; {
			case t == 0:
			case t == c.tile:
				c.votes++
			case c.votes == 0:
				c.tile, c.votes = t, 1
			default:
				c.votes--
			}
		}
		x = end
	}
}

// take writes one row of cells. A cell that is mostly joint shows no tile, and one
// that is mostly outside the panel shows nothing.
func (s *scheme) take(j int, row []cellCount) {
	for i, c := range row {
		k := j*s.w + i
		if 2*c.inside < int32(s.side*s.side) {
			s.out[k] = true
			continue
		}
		share := float32(c.gap) / (255 * float32(c.inside))
		s.joint.V[k] = share
		if share < .5 {
			s.near[k] = c.tile
		}
	}
}

// Steps of the distance transform, in thirds of a cell (Borgefors, Comput. Vis.
// Graph. Image Process. 34, 344, 1986: 3 straight, 4 across a corner).
const stepStraight, stepDiagonal = 3, 4

// farAway is more than any way through a scheme.
const farAway = math.MaxInt16 - stepDiagonal

// spread gives every cell of the joint the number of its nearest tile.
func (s *scheme) spread() {
	away := make([]int16, s.w*s.h)
	for i, t := range s.near {
		if t == 0 {
			away[i] = farAway
		}
	}
	s.sweep(away, s.near)
}

// findEdges begins to measure how deep inside their tiles cells lie, with the outermost
// ones. Two tiles that touch cell to cell end there.
func (s *scheme) findEdges() {
	s.depth = make([]int16, s.w*s.h)
	joint := func(k int) bool { return s.joint.V[k] >= .5 || s.out[k] }
	for j := range s.h {
		for i := range s.w {
			k := j*s.w + i
			if joint(k) {
				continue
			}
			s.depth[k] = farAway
			if i == 0 || j == 0 || i == s.w-1 || j == s.h-1 {
				s.depth[k] = stepStraight
				continue
			}
			for _, n := range [4]int{k - 1, k + 1, k - s.w, k + s.w} {
				if joint(n) || s.near[n] != s.near[k] {
					s.depth[k] = stepStraight
					break
				}
			}
		}
	}
}

// sweep lowers every value to that of a neighbour and the step from it, twice
// through the scheme; tiles, where given, come along with their values.
func (s *scheme) sweep(v []int16, tiles []uint16) {
	for j := range s.h {
		s.sweepRow(v, tiles, j, 1)
	}
	for j := s.h - 1; j >= 0; j-- {
		s.sweepRow(v, tiles, j, -1)
	}
}

// sweepRow does one row: on to the right from the row above (1), or to the left from
// the row below (−1).
func (s *scheme) sweepRow(v []int16, tiles []uint16, j, on int) {
	below := j-on >= 0 && j-on < s.h
	for n := range s.w {
		i := n
		if on < 0 {
			i = s.w - 1 - n
		}
		k := j*s.w + i
		best, from := v[k], k
		if best <= stepStraight { // no step is shorter
			continue
		}
		if n > 0 && v[k-on]+stepStraight < best {
			best, from = v[k-on]+stepStraight, k-on
		}
		if row := k - on*s.w; below {
			if v[row]+stepStraight < best {
				best, from = v[row]+stepStraight, row
			}
			if n > 0 && v[row-on]+stepDiagonal < best {
				best, from = v[row-on]+stepDiagonal, row-on
			}
			if n+1 < s.w && v[row+on]+stepDiagonal < best {
				best, from = v[row+on]+stepDiagonal, row+on
			}
		}
		v[k] = best
		if tiles != nil {
			tiles[k] = tiles[from]
		}
	}
}
