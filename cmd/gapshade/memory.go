package main

import (
	"os"
	"runtime/debug"
)

// garbagePercent is how much dead memory may lie beside the living before it is
// collected. Pictures are few and large, so collecting costs next to nothing, and
// at Go's own 100 a workshop laptop would hold every photo twice.
const garbagePercent = 50

// keepLean sets the above, unless the person has set something else.
func keepLean() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbagePercent)
	}
}

// bytesPerPixel is what the main job has in use at most: the photo's codes (4), its
// linear picture (12), gaps, tile numbers and panel (4), and as much again as the
// analysis needs beside them; afterwards two pictures to paint on take the linear
// one's place. A photo of 48 megapixels stays under 1.2 GB by it (1.4 GB without).
const bytesPerPixel = 23

// leastLimit is what small photos may use before memory is looked after.
const leastLimit = 400e6

// boundMemory asks for garbage to be collected sooner as a run over so many pixels
// nears what it needs; nothing fails when it needs more. It does nothing where the
// person has set a limit.
func boundMemory(pixels int) {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(max(leastLimit, bytesPerPixel*int64(pixels)))
	}
}
