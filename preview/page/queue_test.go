package page

import (
	"context"
	"errors"
	"net/http"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One works, one waits, the third is sent away with a word when to come again.
func TestQueueIsBounded(t *testing.T) {
	q := newQueue(1, 1)
	begun, end := make(chan bool), make(chan bool)
	var all sync.WaitGroup
	work := func() error { begun <- true; <-end; return nil }
	all.Go(func() { assert.NoError(t, q.do(context.Background(), work)) })
	<-begun
	all.Go(func() { assert.NoError(t, q.do(context.Background(), work)) })
	for len(q.places) < 2 { // until the second waits
	}
	err := q.do(context.Background(), work)
	r, ok := errors.AsType[*refusal](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, http.StatusTooManyRequests, r.status)
	assert.Positive(t, r.wait)
	end <- true
	<-begun
	end <- true
	all.Wait()
	assert.NoError(t, q.do(context.Background(), func() error { return nil }), "there is room again")
}

// Who gives up while waiting gives the place back.
func TestQueueCanBeLeft(t *testing.T) {
	q := newQueue(1, 1)
	end := make(chan bool)
	begun := make(chan bool)
	go q.do(context.Background(), func() error { begun <- true; <-end; return nil })
	<-begun
	ctx, stop := context.WithCancel(context.Background())
	stop()
	assert.ErrorIs(t, q.do(ctx, func() error { return nil }), context.Canceled)
	assert.Len(t, q.places, 1)
	end <- true
}

// A crowd of photos is answered by 201 or 429 with Retry-After, and the page goes on
// answering.
func TestCrowd(t *testing.T) {
	a := serve(t, t.TempDir())
	b := drawnPhoto(t)
	var all sync.WaitGroup
	var mu sync.Mutex
	seen := map[int]int{}
	for range 60 {
		all.Go(func() {
			body, kind := photoForm(t, "layout.png", b)
			reply := a.do("POST", "/api/panels", body, kind)
			reply.Body.Close()
			mu.Lock()
			defer mu.Unlock()
			seen[reply.StatusCode]++
			if reply.StatusCode == http.StatusTooManyRequests {
				assert.NotEmpty(t, reply.Header.Get("Retry-After"))
			}
		})
	}
	a.bytes(200, "GET", "/api/choices", "")
	all.Wait()
	assert.Equal(t, 60, seen[201]+seen[429], "%v", seen)
	assert.Positive(t, seen[201])
	assert.Positive(t, seen[429], "%v", seen)
}
