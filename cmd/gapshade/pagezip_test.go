package main

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/page"
)

// pageClient asks a page.
type pageClient struct {
	t            *testing.T
	base, secret string
}

func openPage(t *testing.T) *pageClient {
	t.Helper()
	s, err := page.Open(page.Options{Folder: t.TempDir()})
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		assert.NoError(t, <-ended)
	})
	base, secret, _ := strings.Cut(s.Address(""), "/#")
	return &pageClient{t, base, secret}
}

func (c *pageClient) ask(method, path, kind string, body io.Reader) []byte {
	c.t.Helper()
	r, err := http.NewRequest(method, c.base+path, body)
	require.NoError(c.t, err)
	r.Header.Set("Gapshade-Secret", c.secret)
	r.Header.Set("Content-Type", kind)
	reply, err := http.DefaultClient.Do(r)
	require.NoError(c.t, err)
	defer reply.Body.Close()
	b, err := io.ReadAll(reply.Body)
	require.NoError(c.t, err)
	require.Less(c.t, reply.StatusCode, 300, "%s %s: %s", method, path, b)
	return b
}

func (c *pageClient) send(method, path, name string, photo []byte) (id string) {
	c.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	p, err := w.CreateFormFile("photo", name)
	require.NoError(c.t, err)
	p.Write(photo)
	require.NoError(c.t, w.Close())
	var s struct{ ID string }
	require.NoError(c.t, json.Unmarshal(c.ask(method, path, w.FormDataContentType(), &b), &s))
	return s.ID
}

// rest waits until nothing is being done on a panel.
func (c *pageClient) rest(id string) {
	c.t.Helper()
	for range 600 {
		var s struct {
			Task, Fault *struct{ What, Why string }
		}
		require.NoError(c.t, json.Unmarshal(c.ask("GET", "/api/panels/"+id, "", nil), &s))
		require.Nil(c.t, s.Fault)
		if s.Task == nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	c.t.Fatal("work without end")
}

// The zip of a page holds what the command in it makes of the photo and the files
// beside it, byte for byte: with strokes, shades of one's own, a job and words that a
// shell would stumble over; and with two photos.
func TestPageZipIsTheCommand(t *testing.T) {
	for name, c := range map[string]struct {
		second   []byte
		settings string
		strokes  []string
		files    []string
	}{
		"plain": {settings: `{}`},
		"painted": {
			settings: `{"size":"360x300mm","bed":"white","aim":"blend","distances":"1m","title":"It's \"ours\" & $HOME","straighten":true,
				"corners":[[34.5,28],[325,28],[325,271.25],[35,271]],
				"shades":[{"id":"mine","lab":[61.37,1.0625,-2.5]},{"id":"near-black","lab":[25.26,0,0]}],
				"job":{"thickness":"3mm","edge":"8mm","allowance":"12.5%","start":"2026-05-04T10:00","units":"us","place":"wet"}}`,
			strokes: []string{`{"mark":"gap","radius":3,"points":[[60,40],[60,62]]}`, `{"mark":"tile","radius":4,"points":[[84,100],[84,120]]}`, `{"mark":"outside","radius":15,"points":[[300,250]]}`},
			files:   []string{"shades.csv", "marks.png", "clock.ics"},
		},
		"two photos": {second: drawnOnBlack(), settings: `{"bed":"white","second_bed":"black","shades":[{"id":"near-black","lab":[25.26,0,0]}]}`},
	} {
		t.Run(name, func(t *testing.T) {
			p := openPage(t)
			photo := "-my 'new' photo.png"
			id := p.send("POST", "/api/panels", photo, drawnLayout())
			at := "/api/panels/" + id
			if c.second != nil {
				p.send("PUT", at+"/second", "black paper.png", c.second)
			}
			p.ask("PATCH", at+"/settings", "application/json", strings.NewReader(c.settings))
			p.rest(id)
			for _, s := range c.strokes {
				p.ask("POST", at+"/strokes", "application/json", strings.NewReader(s))
			}
			p.ask("POST", at+"/zip", "", nil)
			p.rest(id)
			folder := t.TempDir()
			unzip(t, p.ask("GET", at+"/zip", "", nil), folder)
			for _, f := range c.files {
				assert.FileExists(t, filepath.Join(folder, f))
			}
			repeats(t, folder, map[string][]byte{photo: drawnLayout(), "black paper.png": c.second})
		})
	}
}

func unzip(t *testing.T, b []byte, folder string) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	require.NoError(t, err)
	for _, f := range z.File {
		require.Equal(t, filepath.Base(f.Name), f.Name, "a plain name")
		from, err := f.Open()
		require.NoError(t, err)
		b, err := io.ReadAll(from)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, f.Name), b, 0o644))
	}
}

// repeats runs the command of a zip beside the photos, and wants the zip's files.
func repeats(t *testing.T, folder string, photos map[string][]byte) {
	t.Helper()
	for name, b := range photos {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), b, 0o644))
	}
	line, err := os.ReadFile(filepath.Join(folder, "command.txt"))
	require.NoError(t, err)
	t.Logf("%s", line)
	args := shellWords(t, string(line))
	require.Equal(t, []string{"gapshade", "preview"}, args[:2])
	t.Chdir(folder)
	var out, errOut bytes.Buffer
	require.Zero(t, run(t.Context(), append(args[1:], "--out", "again", "--quiet"), &out, &errOut), errOut.String())
	made, err := os.ReadDir("again")
	require.NoError(t, err)
	for _, f := range made {
		want, err := os.ReadFile(filepath.Join("again", f.Name()))
		require.NoError(t, err)
		got, err := os.ReadFile(f.Name())
		require.NoError(t, err, "the zip has what the command writes")
		assert.True(t, bytes.Equal(want, got), f.Name())
	}
	all, err := os.ReadDir(".")
	require.NoError(t, err)
	extra := 0
	for _, f := range all {
		if _, photo := photos[f.Name()]; photo || f.IsDir() || f.Name() == "command.txt" || f.Name() == "marks.png" || f.Name() == "shades.csv" {
			continue
		}
		extra++
	}
	assert.Equal(t, len(made), extra, "and nothing else")
}

// shellWords lets a POSIX shell read a command line.
func shellWords(t *testing.T, line string) []string {
	t.Helper()
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell here")
	}
	b, err := exec.Command(sh, "-c", fmt.Sprintf(`for w in %s; do printf '%%s\0' "$w"; done`, strings.TrimSpace(line))).Output()
	require.NoError(t, err)
	return strings.Split(strings.TrimSuffix(string(b), "\x00"), "\x00")
}
