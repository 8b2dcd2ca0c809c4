// Command gapshade shows a dry tile or mosaic layout in candidate grout shades
// before anything is set. See the README.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbagePercent)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() {
		<-ctx.Done()
		stop() // a second interrupt ends the program at once
	}()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// garbagePercent is how much dead memory may lie beside the living before it is
// collected. Pictures are few and large, so collecting costs next to nothing, and
// at Go's own 100 a workshop laptop would hold every photo twice.
const garbagePercent = 50
