//go:build !unix

package page

import "os"

// lockFile does nothing where the standard library has no lock: two servers on one
// folder are then the person's own business.
func lockFile(*os.File) error { return nil }
