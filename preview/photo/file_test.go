package photo

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOpenFile(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "kitchen wall.JPG") // the content is PNG, and that counts
	b := pngBytes(t, panel())
	require.NoError(t, os.WriteFile(path, b, 0o600))
	p, err := OpenFile(t.Context(), path, Limits{})
	require.NoError(t, err)
	sum := sha256.Sum256(b)
	assert.Equal(t, hex.EncodeToString(sum[:]), p.SHA256)
	assert.Equal(t, "kitchen wall.JPG", p.Name)
	assert.Equal(t, "png", p.Format)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, b, after)
}

// What is no plain file is refused at once: a pipe would be waited for, a
// device read for ever.
func TestNotAPlainFile(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	require.NoError(t, os.Symlink(at("loop"), at("loop")))
	cases := map[string]string{"folder": folder, "missing": at("none.jpg"), "link to itself": at("loop")}
	for name, path := range specialFiles(t, folder) {
		cases[name] = path
	}
	for name, path := range cases {
		start := time.Now()
		_, err := OpenFile(t.Context(), path, Limits{})
		var e *Error
		require.ErrorAs(t, err, &e, name)
		assert.Equal(t, Unreadable, e.Kind, name)
		assert.NotContains(t, e.Error(), folder+"/", "%s: the sentence names the file, not the way to it", name)
		assert.Less(t, time.Since(start), time.Second, name)
	}
}

func TestNames(t *testing.T) {
	for in, want := range map[string]string{
		"/home/anna/photos/wall.jpg": "wall.jpg",
		`C:\photos\wall.jpg`:         "wall.jpg",
		"a\x1b[31mb\nc.png":          "a\ufffd[31mb\ufffdc.png",
		"rtl\u202egpj.exe":           "rtl\ufffdgpj.exe",
		"":                           "photo",
		"/":                          "photo",
		"\xff\xfe.png":               "\ufffd\ufffd.png",
	} {
		assert.Equal(t, want, baseName(in))
	}
}

// Each limit refuses just above and lets through just at itself.
func TestLimits(t *testing.T) {
	jpg := jpegBytes(t, panel(), 90)
	size := int64(len(jpg))
	for _, c := range []struct {
		name string
		l    Limits
		ok   bool
	}{
		{"pixels, at", Limits{Pixels: panelW * panelH}, true},
		{"pixels, above", Limits{Pixels: panelW*panelH - 1}, false},
		{"side, at", Limits{Side: panelW}, true},
		{"side, above", Limits{Side: panelW - 1}, false},
		{"bytes, at", Limits{Bytes: size}, true},
		{"bytes, above", Limits{Bytes: size - 1}, false},
		{"lifted", Limits{Pixels: -1, Side: -1, Bytes: -1, Scans: -1, Metadata: -1}, true},
	} {
		_, err := Open(t.Context(), "x", bytes.NewReader(jpg), c.l)
		if c.ok {
			assert.NoError(t, err, c.name)
			continue
		}
		var e *Error
		require.ErrorAs(t, err, &e, c.name)
		assert.Equal(t, OverLimit, e.Kind, c.name)
	}
}

// A file that goes on for ever is cut at the limit, not read to the end.
func TestEndlessReader(t *testing.T) {
	_, err := Open(t.Context(), "x", endless{}, Limits{Bytes: 1 << 20})
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, OverLimit, e.Kind)
}

type endless struct{}

func (endless) Read(b []byte) (int, error) { return len(b), nil }

// A failing disk is the file's fault, not a panic or a silent half photo.
func TestFailingReader(t *testing.T) {
	broken := errors.New("input/output error")
	r := io.MultiReader(bytes.NewReader(jpegBytes(t, panel(), 90)[:1000]), failing{broken})
	_, err := Open(t.Context(), "x", r, Limits{})
	require.ErrorIs(t, err, broken)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, Unreadable, e.Kind)
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// The deadline ends a decoder that would go on for long: here 20,000 scans
// with the limit on scans lifted. A fast machine is through with them in .3 s, so the
// deadline has to be a good deal shorter.
func TestDeadlineStopsDecoding(t *testing.T) {
	b := scanBomb(t, 20_000)
	ctx, cancel := context.WithTimeout(t.Context(), 60*time.Millisecond)
	defer cancel()
	start := time.Now()
	_, err := Open(ctx, "x", bytes.NewReader(b), Limits{Scans: -1})
	assert.Less(t, time.Since(start), 800*time.Millisecond)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, OverLimit, e.Kind)
}
