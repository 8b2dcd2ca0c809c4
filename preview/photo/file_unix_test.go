//go:build unix

package photo

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// specialFiles are what only some systems have: a pipe and a device.
func specialFiles(t *testing.T, folder string) map[string]string {
	pipe := filepath.Join(folder, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	return map[string]string{"pipe": pipe, "device": "/dev/zero"}
}
