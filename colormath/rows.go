package colormath

import (
	"runtime"
	"sync"
)

// Rows splits the rows 0…h−1 into one band per thread and calls work on each
// band [y0, y1) at the same time; threads 0 means one per processor. Work that
// writes only its own rows gives the same result for any thread count.
func Rows(h, threads int, work func(y0, y1 int)) {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	threads = min(threads, h)
	if threads <= 1 {
		work(0, h)
		return
	}
	var wg sync.WaitGroup
	for i := range threads {
		wg.Go(func() { work(i*h/threads, (i+1)*h/threads) })
	}
	wg.Wait()
}
