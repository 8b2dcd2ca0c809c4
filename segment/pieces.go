package segment

// pieces are the tiles of a view, numbered, with how far every pixel lies from the
// edge.
type pieces struct {
	w, h    int
	n       int       // how many
	label   []int32   // 1…n, 0 in gaps
	inside  []float32 // of a tile's pixel to the gap, px
	outside []float32 // of a gap's pixel to the nearest tile, px
	nearest []int32   // the nearest tile's pixel, −1 without tiles
}

// pieces reads the tiles off the coverage: specks are no tiles.
func (ev *evidence) pieces() *pieces {
	w, h := ev.w, ev.h
	p := &pieces{w: w, h: h, label: make([]int32, w*h)}
	in := ev.lay.panel
	runs, n := components(w, h, func(i int) bool { return in[i] && ev.tile.v[i] > .5 })
	size := areas(runs, n)
	speck := speckLimit(size[1:])
	number := make([]int32, n+1)
	for id := 1; id <= n; id++ {
		if size[id] >= speck {
			p.n++
			number[id] = int32(p.n)
		}
	}
	for _, r := range runs {
		for x := r.x0; x < r.x1; x++ {
			p.label[r.y*w+x] = number[r.id]
		}
	}
	p.inside, _ = distances(w, h, func(i int) bool { return p.label[i] == 0 })
	p.outside, p.nearest = distances(w, h, func(i int) bool { return p.label[i] > 0 })
	return p
}

// owner is the tile that a pixel belongs to or lies nearest to; 0 without tiles.
func (p *pieces) owner(i int) int32 {
	if p.nearest[i] < 0 {
		return 0
	}
	return p.label[p.nearest[i]]
}

// around says whose surroundings a pixel is, up to reach px from a tile.
func (p *pieces) around(reach float32) []int32 {
	out := make([]int32, len(p.label))
	for i := range out {
		if p.outside[i] <= reach {
			out[i] = p.owner(i)
		}
	}
	return out
}
