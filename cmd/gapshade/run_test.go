package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
)

// laid puts the drawn layout into a folder of its own under the given name.
func laid(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, drawnLayout(), 0o644))
	return path
}

// call runs the command inside this process.
func call(ctx context.Context, args ...string) (code int, out, errOut string) {
	var o, e bytes.Buffer
	code = run(ctx, args, &o, &e)
	return code, o.String(), e.String()
}

// countdown is a context that is cancelled the n-th time somebody asks, so that
// a run can be interrupted at a place and not at a time.
type countdown struct {
	context.Context
	left atomic.Int64
	once sync.Once
	done chan struct{}
}

func countingDown(n int) *countdown {
	c := &countdown{Context: context.Background(), done: make(chan struct{})}
	c.left.Store(int64(n))
	return c
}

func (c *countdown) Err() error {
	if c.left.Add(-1) >= 0 {
		return nil
	}
	c.once.Do(func() { close(c.done) })
	return context.Canceled
}

func (c *countdown) Done() <-chan struct{} { return c.done }

// below lists everything in a folder, as paths from there.
func below(t *testing.T, folder string) []string {
	t.Helper()
	var found []string
	require.NoError(t, filepath.WalkDir(folder, func(path string, _ fs.DirEntry, err error) error {
		if rel, _ := filepath.Rel(folder, path); rel != "." {
			found = append(found, rel)
		}
		return err
	}))
	return found
}

// Wherever a run is interrupted, it ends with 130 and the disk is as it was:
// no output, no hidden folder, no new parents of the output folder.
func TestInterruptedRunLeavesNothing(t *testing.T) {
	t.Parallel()
	args := func(photo string) []string {
		return []string{"preview", photo, "--shades", "mid-true,dark-true", "--threads", "1", "--out", filepath.Join(filepath.Dir(photo), "new", "folder")}
	}
	whole := countingDown(math.MaxInt32)
	code, _, errOut := call(whole, args(laid(t, "layout.png"))...)
	require.Equal(t, 0, code, errOut)
	asked := math.MaxInt32 - int(whole.left.Load()) - 1 // the last question comes after the run

	require.Greater(t, asked, 8, "a run has to ask often enough to stop soon")
	for _, n := range []int{0, 1, asked / 2, asked - 5, asked - 3, asked - 1} {
		photo := laid(t, "layout.png")
		code, out, errOut := call(countingDown(n), args(photo)...)
		assert.Equal(t, preview.CodeInterrupted, code, "interrupted at question %d of %d", n, asked)
		assert.Equal(t, "gapshade: interrupted; nothing was written\n", errOut)
		assert.Empty(t, out)
		assert.Equal(t, []string{"layout.png"}, below(t, filepath.Dir(photo)), "interrupted at question %d of %d", n, asked)
	}
}

// cancelling is a stdout that interrupts the run at its first word, which is
// after the files are in place.
type cancelling struct{ stop func() }

func (c cancelling) Write(b []byte) (int, error) { c.stop(); return len(b), nil }

// An interrupt that comes when the files are already in place must not claim
// that there are none.
func TestLateInterruptDoesNotDenyTheFiles(t *testing.T) {
	t.Parallel()
	photo := laid(t, "layout.png")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var errOut bytes.Buffer
	code := run(ctx, []string{"preview", photo, "--shades", "mid-true"}, cancelling{stop}, &errOut)
	assert.Contains(t, []int{preview.CodeOK, preview.CodeInterrupted}, code)
	require.FileExists(t, filepath.Join(filepath.Dir(photo), "layout-grout", "sheet.jpg"))
	assert.NotContains(t, errOut.String(), "nothing was written")
}

// The photo is never touched: not its bytes, not its time, not its mode; not
// when it bears the name of an output and stands in the output folder, not
// under --force, not through a link.
func TestPhotoIsNeverTouched(t *testing.T) {
	t.Parallel()
	cases := map[string]func(t *testing.T, photo string) (asked string, out string){
		"plain run": func(_ *testing.T, photo string) (string, string) { return photo, "" },
		"its own folder": func(_ *testing.T, photo string) (string, string) {
			return photo, filepath.Dir(photo)
		},
		"called sheet.jpg": func(t *testing.T, photo string) (string, string) {
			own := filepath.Join(filepath.Dir(photo), "sheet.jpg")
			require.NoError(t, os.Rename(photo, own))
			return own, filepath.Dir(photo)
		},
		"called preview-mid-true.jpg, reached by a link to its folder": func(t *testing.T, photo string) (string, string) {
			own := filepath.Join(filepath.Dir(photo), "preview-mid-true.jpg")
			require.NoError(t, os.Rename(photo, own))
			link := filepath.Join(t.TempDir(), "link")
			if err := os.Symlink(filepath.Dir(photo), link); err != nil {
				t.Skip("no links here")
			}
			return own, link
		},
		"a hard link to it is in the way": func(t *testing.T, photo string) (string, string) {
			if err := os.Link(photo, filepath.Join(filepath.Dir(photo), "gaps.png")); err != nil {
				t.Skip("no links here")
			}
			return photo, filepath.Dir(photo)
		},
		"a link to it is in the way": func(t *testing.T, photo string) (string, string) {
			if err := os.Symlink(photo, filepath.Join(filepath.Dir(photo), "tiles.png")); err != nil {
				t.Skip("no links here")
			}
			return photo, filepath.Dir(photo)
		},
	}
	for name, arrange := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			asked, out := arrange(t, laid(t, "layout.png"))
			long := time.Date(2024, 5, 4, 10, 0, 0, 0, time.UTC)
			require.NoError(t, os.Chtimes(asked, long, long))
			require.NoError(t, os.Chmod(asked, 0o444))

			args := []string{"preview", asked, "--shades", "mid-true", "--quiet", "--force"}
			if out != "" {
				args = append(args, "--out", out)
			}
			code, _, errOut := call(t.Context(), args...)
			assert.Contains(t, []int{preview.CodeOK, preview.CodeUsage, preview.CodeOutput}, code, errOut)

			b, err := os.ReadFile(asked)
			require.NoError(t, err)
			assert.Equal(t, sha256.Sum256(drawnLayout()), sha256.Sum256(b), "the photo was replaced")
			info, err := os.Lstat(asked)
			require.NoError(t, err)
			assert.Equal(t, fs.FileMode(0o444), info.Mode())
			assert.True(t, long.Equal(info.ModTime()))
		})
	}
}

// full is a stdout with no room left.
type full struct{}

var errFull = errors.New("no space left on device")

func (full) Write([]byte) (int, error) { return 0, errFull }

// A result that could not be written is no success, whatever the command.
func TestFullDiskIsNoSuccess(t *testing.T) {
	t.Parallel()
	photo := laid(t, "layout.png")
	for _, args := range [][]string{
		{"help"}, {"preview", "--help"}, {"shades"}, {"schema"}, {"version"}, {"completion", "bash"},
		{"preview", photo, "--shades", "mid-true", "--force"},
		{"preview", photo, "--shades", "mid-true", "--force", "--json"},
	} {
		var errOut bytes.Buffer
		code := run(t.Context(), args, full{}, &errOut)
		assert.Equal(t, preview.CodeFailure, code, "%v", args)
		assert.Contains(t, errOut.String(), "no space left", "%v", args)
	}
}

// The codes that a person can script on, as written in the manual; each error
// keeps its code when others wrap it.
func TestExitCodes(t *testing.T) {
	fault := &preview.Fault{Code: preview.CodeLimit, What: "x"}
	for want, err := range map[int]error{
		0:   nil,
		1:   errors.New("anything else"),
		4:   errors.Join(io.EOF, fault),
		130: errors.Join(fault, context.Canceled), // an interrupt explains whatever else went wrong
	} {
		assert.Equal(t, want, code(err))
	}
	assert.Equal(t, []int{0, 1, 2, 3, 4, 5, 6, 7, 130}, []int{preview.CodeOK, preview.CodeFailure, preview.CodeUsage, preview.CodePhoto,
		preview.CodeLimit, preview.CodeOutput, preview.CodeNoGaps, preview.CodeSome, preview.CodeInterrupted})
}

// A terminal obeys control characters; a file's name may hold them.
func TestNamesAreHarmless(t *testing.T) {
	code, out, errOut := call(t.Context(), "preview", "no\x1b[2Jsuch\u009b31m\r.jpg")
	assert.Equal(t, preview.CodePhoto, code)
	assert.Empty(t, out)
	assert.NotRegexp(t, "[\x1b\r\u009b]", errOut)
	assert.Contains(t, errOut, "such", "what can be shown is shown")

	code, _, errOut = call(t.Context(), "preview", "x.jpg", "--shades", "\x1b[31mred")
	assert.Equal(t, preview.CodeUsage, code)
	assert.NotContains(t, errOut, "\x1b")
}

// nearest forgives two slips in a long word, one in a short one. The distances
// are counted by hand.
func TestDidYouMean(t *testing.T) {
	for word, want := range map[string]string{
		"preview":  "preview", // 0
		"prevew":   "preview", // a letter missing
		"preveiw":  "preview", // two letters swapped: two changes
		"previews": "preview", // one too many
		"dmo":      "demo",    // 1 in 3 letters
		"dm":       "",        // 2 in 2 letters
		"shade":    "shades",
		"grout":    "",
		"":         "",
	} {
		assert.Equal(t, want, nearest(word, commandNames), "%q", word)
	}
	assert.Equal(t, 3, slips("kitten", "sitting")) // the textbook's pair
	assert.Equal(t, 4, slips("", "gaps"))
	assert.Equal(t, slips("tile", "title"), slips("title", "tile"))
}
