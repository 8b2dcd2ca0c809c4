package page

import (
	"context"
	"time"

	"gapshade/segment"
)

// later does what takes longer than a change may: first the strokes teach, then the
// photo is read again and looked at from all distances. edit and bench are held.
func (p *panel) later() {
	lesson := p.found.Lesson()
	_, whole := p.found.Near()
	if whole && lesson == nil {
		return
	}
	ctx, stop := context.WithCancel(p.s.work)
	p.mu.Lock()
	p.stopLater, p.learning = stop, lesson != nil
	p.mu.Unlock()
	p.s.working.Go(func() {
		defer stop()
		if lesson == nil || p.learn(ctx, lesson) {
			p.afar(ctx)
		}
	})
}

// learnAfter is how long a lesson leaves the processors to the pictures that the page
// asks for with the answer to a stroke, and learnAtLast when it begins although they
// are still being drawn. Both and the lesson fit into a second (issue 14).
const (
	learnAfter  = 20 * time.Millisecond
	learnAtLast = 150 * time.Millisecond
)

// learn lets strokes teach, without holding up others that are painted meanwhile: they
// end ctx. It reports whether the panel shows what came of it.
func (p *panel) learn(ctx context.Context, lesson *segment.Lesson) bool {
	for begun := time.Now(); ; {
		if pause(ctx, learnAfter) != nil {
			return false
		}
		if p.quiet() || time.Since(begun) > learnAtLast {
			break
		}
	}
	if p.s.lessons.await(ctx, func() error { return lesson.Study(ctx) }) != nil {
		return false
	}
	p.edit.Lock()
	defer p.edit.Unlock()
	if ctx.Err() != nil || p.found == nil {
		return false
	}
	p.bench.Lock()
	defer p.bench.Unlock()
	p.early.Wait()
	if !p.found.Learn(lesson) {
		return false
	}
	told, fault, err := p.catchUp()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.learning = false
	if err != nil {
		p.tell(false)
		return false // the next change will do it
	}
	p.rough = !p.found.Fresh()
	p.see(told, fault, true)
	return true
}

// quiet says that no picture is being drawn, neither ahead nor because it was asked for.
func (p *panel) quiet() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, d := range p.pictures {
		if !d.done() {
			return false
		}
	}
	return p.s.light.idle()
}

// pause waits; errors are ctx's.
func pause(ctx context.Context, long time.Duration) error {
	select {
	case <-time.After(long):
	case <-ctx.Done():
	}
	return ctx.Err()
}

// afarAfter is how long nothing must be changed before the photo is read again and
// distance looked at: the numbers of a panel as it lies are wanted at once, those from
// afar when the hand rests.
const afarAfter = 500 * time.Millisecond

// afar reads the photo again after strokes and looks from all distances, in a moment.
func (p *panel) afar(ctx context.Context) {
	for busy := true; busy; busy = !p.s.light.idle() { // pictures come first
		if pause(ctx, afarAfter) != nil {
			return
		}
	}
	p.edit.Lock()
	defer p.edit.Unlock()
	if ctx.Err() != nil || p.found == nil {
		return
	}
	redrawn := !p.found.Fresh()
	if _, err := p.found.Proof(ctx); err != nil { // pictures are drawn meanwhile
		return // the next change will do it
	}
	p.bench.Lock()
	defer p.bench.Unlock()
	told, fault, err := p.wholly(ctx)
	if err != nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.rough = false
	if redrawn {
		p.sameLayers()
	}
	p.see(told, fault, redrawn)
}

// putOff gives that up, because something else is being changed.
func (p *panel) putOff() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stopWork()
}

// stopWork is putOff, with mu held.
func (p *panel) stopWork() {
	if p.stopLater != nil {
		p.stopLater()
	}
	p.stopLater, p.learning = nil, false
}
