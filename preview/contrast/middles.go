package contrast

import "gapshade/segment"

// perCore and perBorder bound the places that are read for one tile and one
// border: the filters change slowly along both.
const perCore, perBorder = 8, 8

// findCores finds the inner cells of all tiles, once, for who looks from a distance.
func (s *scheme) findCores(tiles int) {
	s.cored.Do(func() {
		s.sweep(s.depth, nil)
		s.pickCores(tiles)
	})
}

// pickCores picks the cells of every tile that lie at least half as deep as its
// deepest one.
func (s *scheme) pickCores(tiles int) {
	deepest := make([]int16, tiles+1)
	for k, d := range s.depth {
		deepest[s.near[k]] = max(deepest[s.near[k]], d)
	}
	s.cores = make([][]place, tiles)
	for k, d := range s.depth {
		if t := s.near[k]; t > 0 && d > 0 && 2*d >= deepest[t] {
			s.cores[t-1] = append(s.cores[t-1], place{float32(k % s.w), float32(k / s.w)})
		}
	}
	for i, c := range s.cores {
		s.cores[i] = thinned(c, perCore)
	}
}

// findMiddles walks the lines on which the nearest tile changes: the middle of
// the joint between two tiles, to half a cell; middle makes it finer.
func (s *scheme) findMiddles(m *segment.Map) {
	number := make(map[uint32]int, len(m.Borders))
	for b, border := range m.Borders {
		number[pair(border.A, border.B)] = b
	}
	s.across = make([][]place, len(m.Borders))
	look := func(k, step int) (border int, off float32) {
		a, b := s.near[k], s.near[k+step]
		if a == b || a == 0 || b == 0 || s.out[k] || s.out[k+step] {
			return -1, 0
		}
		n, ok := number[pair(int(min(a, b)), int(max(a, b)))]
		if !ok {
			return -1, 0
		}
		return n, s.middle(k, step)
	}
	for j := range s.h {
		for i := range s.w {
			k := j*s.w + i
			if i+1 < s.w {
				if n, off := look(k, 1); n >= 0 {
					s.across[n] = append(s.across[n], place{float32(i) + off, float32(j)})
				}
			}
			if j+1 < s.h {
				if n, off := look(k, s.w); n >= 0 {
					s.across[n] = append(s.across[n], place{float32(i), float32(j) + off})
				}
			}
		}
	}
}

// middle is how far from cell k, along a row (step 1) or a column, the middle of
// the joint lies that runs between k and the next cell: the mean place of the
// joint's share on the way from one tile to the other. Where no tile comes within
// reach, at a crossing, it is half way between the two cells.
func (s *scheme) middle(k, step int) float32 {
	const reach = 15 // cells
	var sum, at float32
	follow := func(from, dir int) bool {
		for n := range reach {
			i := from + n*dir*step
			if i < 0 || i >= len(s.near) {
				return false
			}
			g := s.joint.V[i]
			sum, at = sum+g, at+g*float32((i-k)/step)
			if g < .02 {
				return true
			}
		}
		return false
	}
	if !follow(k, -1) || !follow(k+step, 1) || sum == 0 {
		return .5
	}
	return at / sum
}

// thin keeps as many middles as are read; lines were looked for in all of them.
func (s *scheme) thin() {
	for b := range s.across {
		s.across[b] = thinned(s.across[b], perBorder)
	}
}

func pair(a, b int) uint32 { return uint32(a)<<16 | uint32(b) }

// thinned keeps at most n places, evenly.
func thinned(p []place, n int) []place {
	if len(p) <= n {
		return p
	}
	out := make([]place, n)
	for i := range out {
		out[i] = p[i*len(p)/n+len(p)/(2*n)]
	}
	return out
}
