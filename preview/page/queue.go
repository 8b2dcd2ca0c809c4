package page

import (
	"context"
	"net/http"
)

// queue does a few pieces of work at a time and lets a few more wait; who comes
// then is asked to come again. Pictures are many and large: without a bound, a
// crowd of requests would fill the memory.
type queue struct {
	places chan struct{} // those at work and those waiting
	hands  chan struct{} // those at work
}

func newQueue(atWork, waiting int) *queue {
	return &queue{places: make(chan struct{}, atWork+waiting), hands: make(chan struct{}, atWork)}
}

// again is how long somebody who is turned away should wait, s.
const again = 2

// do does the work when it is its turn. It returns a refusal when the queue is full,
// ctx's error when that ends before the turn comes, else what work returns.
func (q *queue) do(ctx context.Context, work func() error) error {
	select {
	case q.places <- struct{}{}:
		defer func() { <-q.places }()
	default:
		r := refuse(http.StatusTooManyRequests, "too much is being done at the moment", "wait a moment")
		r.wait = again
		return r
	}
	return q.await(ctx, work)
}

// await does the work when it is its turn, however many wait: for what goes on in the
// background, of which every panel has one at most.
func (q *queue) await(ctx context.Context, work func() error) error {
	select {
	case q.hands <- struct{}{}:
		defer func() { <-q.hands }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return work()
}

// quiet says that a piece of work would be done at once.
func (q *queue) quiet() bool { return len(q.hands) < cap(q.hands) }

// idle says that nothing is being done and nobody waits.
func (q *queue) idle() bool { return len(q.places) == 0 }
