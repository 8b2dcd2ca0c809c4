//go:build long && linux

package main

import (
	"bytes"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	xdraw "golang.org/x/image/draw"

	"gapshade/examples"
)

// A photo of 48 megapixels, eleven shades, every file: at most 1.2 GB of the
// machine's memory at any moment, as the system counts it. The program runs as a
// person runs it, because its memory is bounded where it starts.
func TestFortyEightMegapixelsInMemory(t *testing.T) {
	dir := t.TempDir()
	program := filepath.Join(dir, "gapshade")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(t, err, string(out))
	run := exec.Command(program, "preview", large(t, dir), "--out", filepath.Join(dir, "out"), "--size", "383x303mm", "--bed", "white", "--quiet")
	run.Env = append(os.Environ(), "GOGC=", "GOMEMLIMIT=")
	out, err = run.CombinedOutput()
	require.NoError(t, err, string(out))
	mb := float64(run.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) * 1024 / 1e6
	t.Logf("%.0f MB, %v of processor time", mb, run.ProcessState.UserTime()+run.ProcessState.SystemTime())
	assert.Less(t, mb, 1200.)
	files, err := os.ReadDir(filepath.Join(dir, "out"))
	require.NoError(t, err)
	assert.Greater(t, len(files), 25)
}

// large writes the bundled photo at 8000 × 6000 px.
func large(t *testing.T, dir string) string {
	src, err := jpeg.Decode(bytes.NewReader(examples.Lemons))
	require.NoError(t, err)
	img := image.NewRGBA(image.Rect(0, 0, 8000, 6000))
	xdraw.CatmullRom.Scale(img, img.Rect, src, src.Bounds(), xdraw.Src, nil)
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 92}))
	path := filepath.Join(dir, "large.jpg")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	return path
}
