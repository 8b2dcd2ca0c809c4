package net

// Net is a loaded network. It is read-only: one Net serves any number of
// goroutines at once.
type Net struct {
	stem    stem      // 3×3, stride 2, from the picture and its evidence
	enc     [][]block // enc[i] works at 1/2^(i+1) of the picture's size
	lateral []mixer   // lateral[i] brings level i+1 to the channels of level i
	dec     [][]block // dec[i] works at the size of enc[i]
	head    [9]mixer  // 3×3 to four planes, the four pixels of each 2×2 square
	pattern *last     // the last level where faces carry pattern; nil = as everywhere

	kernels kernels
}

// last is the last level, which draws the edges: lateral[0], dec[0] and the head.
type last struct {
	lateral mixer
	dec     []block
	head    [9]mixer
}

// last picks the last level for an input.
func (n *Net) last(in *Input) *last {
	if in.Pattern && n.pattern != nil {
		return n.pattern
	}
	l := &last{head: n.head}
	if len(n.lateral) > 0 {
		l.lateral, l.dec = n.lateral[0], n.dec[0]
	}
	return l
}

// block is a 3×3 depthwise layer and a pointwise layer, a ReLU after each.
// Every block but the first of a level adds its input to its output.
type block struct {
	stride int
	taps   []taps // one per input channel
	mix    mixer
}

// kernels are the loops in which the time goes. Both sets compute the same; the
// last bits differ, because the fast one rounds once per multiply-add.
type kernels struct {
	name      string
	mix       func(m *mixer, o int, dst, src view, n int, how put, acc []float32)
	depthwise func(dst []float32, rows [3][]float32, t *taps, stride int)
}

// plainKernels are the loops in Go alone.
func plainKernels() kernels {
	return kernels{name: "plain Go", mix: mixPlain, depthwise: depthwisePlain}
}

// Load returns the network that ships with the program.
func Load() (*Net, error) {
	n, err := Parse(layersJSON, weightsF32)
	if err != nil {
		return nil, err
	}
	n.pattern, err = parseLast(n, patternJSON, patternF32)
	if err != nil {
		return nil, err
	}
	return n, nil
}

// channels is the number of planes of encoder level i.
func (n *Net) channels(i int) int { return n.enc[i][0].mix.out }

// Tiles returns the tile coverage of each pixel, 0 (gap) … 1 (tile), w·h values
// row by row. Any size from 1×1 works, and the result has the same bits for any
// number of threads (below 1 counts as 1). It panics if a plane of the input does
// not fit the picture's size.
func (n *Net) Tiles(in Input, threads int) []float32 {
	return n.TilesInto(nil, in, threads, new(Memory))
}

// TilesInto is Tiles with memory to reuse: the result is written to dst when
// that is long enough, and m keeps the working planes from call to call. m must
// not be shared by calls that run at the same time.
func (n *Net) TilesInto(dst []float32, in Input, threads int, m *Memory) []float32 {
	in.check()
	dst = resize(dst, in.W*in.H)
	r := &run{net: n, mem: m, threads: max(1, threads), stop: in.Stop}
	m.prepare(n, in.W, in.H, r.threads)
	r.forward(dst, &in)
	return dst
}

// forward is the whole network; m.level[i] holds level i from the encoder on
// until the decoder is done with it.
func (r *run) forward(dst []float32, in *Input) {
	n, level := r.net, r.mem.level
	r.stem(level[0], in)
	for i, blocks := range n.enc {
		r.block(level[i], level[max(0, i-1)], &blocks[0], putRelu)
		r.residuals(level[i], blocks[1:])
	}
	end := n.last(in)
	for i := len(n.lateral) - 1; i > 0; i-- {
		r.lateral(level[i], level[i+1], &n.lateral[i])
		r.residuals(level[i], n.dec[i])
	}
	if len(level) > 1 {
		r.lateral(level[0], level[1], &end.lateral)
		r.residuals(level[0], end.dec)
	}
	r.head(planes{v: dst, c: 1, w: in.W, h: in.H}, level[0], &end.head)
}

func (r *run) residuals(p planes, blocks []block) {
	for i := range blocks {
		r.block(p, p, &blocks[i], putAdd)
	}
}
