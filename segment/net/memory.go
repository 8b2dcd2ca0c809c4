package net

import "sync"

// planes is a picture of c channels, one after the other, row by row.
type planes struct {
	v       []float32
	c, w, h int
}

func (p planes) row(c, y int) []float32 {
	at := (c*p.h + y) * p.w
	return p.v[at : at+p.w : at+p.w]
}

// Memory holds the working planes of a run, about 40 bytes per picture pixel
// for the network that ships. The zero value is ready; it grows as needed.
type Memory struct {
	level  []planes
	zero   []float32 // a row of the border, never written
	worker []scratch
}

// scratch is what one goroutine works in: a few hundred kilobytes, so that it
// stays in the processor's second-level cache.
type scratch struct {
	tile         [2][]float32 // inputs of a mixer, two tiles in turn
	out          []float32    // outputs of a mixer that go on to another place
	acc          []float32    // sums of the plain loops
	above, below []float32    // rows around the band, as they were
}

// prepare sizes the levels. Each is half the one before; the first is half the
// picture, whose size is thought to be rounded up so that all halves are whole.
func (m *Memory) prepare(n *Net, w, h, threads int) {
	unit := 1 << len(n.enc)
	w, h = (w+unit-1)/unit*unit, (h+unit-1)/unit*unit
	for len(m.level) < len(n.enc) {
		m.level = append(m.level, planes{})
	}
	for i := range n.enc {
		p := &m.level[i]
		p.c, p.w, p.h = n.channels(i), w>>(i+1), h>>(i+1)
		p.v = resize(p.v, p.c*p.w*p.h)
	}
	if len(m.zero) < w {
		m.zero = make([]float32, w)
	}
	for len(m.worker) < threads {
		m.worker = append(m.worker, scratch{})
	}
}

// resize returns s with n values, whose content means nothing.
func resize(s []float32, n int) []float32 {
	if cap(s) < n {
		return make([]float32, n)
	}
	return s[:n]
}

// run is one pass over one picture.
type run struct {
	net     *Net
	mem     *Memory
	threads int
	stop    <-chan struct{}
}

// bands splits rows into one band per thread and works on all at once. Which
// band a row falls in never changes its arithmetic; that keeps the result the
// same for any number of threads. A run that was stopped does nothing more.
func (r *run) bands(rows int, work func(s *scratch, lo, hi int)) {
	select {
	case <-r.stop:
		return
	default:
	}
	n := min(r.threads, rows)
	var wg sync.WaitGroup
	for t := 1; t < n; t++ {
		wg.Go(func() { work(&r.mem.worker[t], rows*t/n, rows*(t+1)/n) })
	}
	work(&r.mem.worker[0], 0, rows/n)
	wg.Wait()
}
