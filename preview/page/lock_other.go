//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package page

import "os"

// openLock locks nothing where the standard library has no lock: two pages on one
// folder are then the person's own business.
func openLock(path string) (*os.File, error) { return os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600) }
