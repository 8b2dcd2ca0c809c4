//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package page

import (
	"os"
	"syscall"
)

// openLock opens a file for this process alone, without waiting; the lock ends with
// the process, however that ends.
func openLock(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return nil, errLocked
	}
	return f, nil
}
