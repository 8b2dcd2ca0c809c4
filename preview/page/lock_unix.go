//go:build unix

package page

import (
	"os"
	"syscall"
)

// lockFile takes the lock of a folder without waiting; it ends with the process,
// however that ends.
func lockFile(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }
