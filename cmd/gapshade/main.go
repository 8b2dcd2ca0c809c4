// Command gapshade shows a dry tile or mosaic layout in candidate grout shades
// before anything is set. See the README.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	keepLean()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() {
		<-ctx.Done()
		stop() // a second interrupt ends the program at once
	}()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}
