//go:build !unix

package page

import "time"

// cpuTime is not known here; the benchmark then reports 0 for it.
func cpuTime() time.Duration { return 0 }
