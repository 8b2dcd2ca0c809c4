package page

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
)

// childFolder names the folder that a copy of the test program serves; see
// TestKilled.
const childFolder = "GAPSHADE_TEST_PAGE"

// TestMain makes the test program a server when it is asked to be one.
func TestMain(m *testing.M) {
	if folder := os.Getenv(childFolder); folder != "" {
		s, err := Open(Options{Folder: folder})
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println(s.Address(""))
		s.Serve(context.Background())
	}
	os.Exit(m.Run())
}

// child starts a server in a process of its own.
func child(t *testing.T, folder string) (*exec.Cmd, *asker) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), childFolder+"="+folder)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	base, secret, ok := strings.Cut(strings.TrimSpace(line), "/#")
	require.True(t, ok, line)
	return c, &asker{t, &Server{secret: secret}, base}
}

// however a server ends, at most the stroke that was on its way is lost, and no file
// is torn: twenty kills at random moments while strokes come in.
func TestKilled(t *testing.T) {
	folder := t.TempDir()
	c, a := child(t, folder)
	id := a.upload("layout.png", drawnPhoto(t)).ID
	a.settled(id)
	known := 0 // strokes that the server has said it has
	for round := range 20 {
		time.AfterFunc(time.Duration(20+rand.IntN(120))*time.Millisecond, func() { c.Process.Kill() })
		sent := known
		for i := 0; ; i++ {
			x := 20 + (37*i+11*round)%360
			body := fmt.Sprintf(strokeAt, []string{"gap", "tile"}[i%2], x, x)
			r, err := http.NewRequest("POST", a.base+"/api/panels/"+id+"/strokes", strings.NewReader(body))
			require.NoError(t, err)
			r.Header.Set(secretHeader, a.s.secret)
			r.Header.Set("Content-Type", "application/json")
			sent++
			reply, err := http.DefaultClient.Do(r)
			if err != nil {
				break
			}
			var s told
			err = json.NewDecoder(reply.Body).Decode(&s)
			reply.Body.Close()
			if err != nil {
				break
			}
			known = s.Strokes.Count
		}
		c.Wait()

		b, err := os.ReadFile(filepath.Join(folder, panelsName, id, keptName))
		require.NoError(t, err)
		var k kept
		require.NoError(t, json.Unmarshal(b, &k), "round %d: torn", round)
		require.GreaterOrEqual(t, len(k.Strokes), known, "round %d", round)
		require.LessOrEqual(t, len(k.Strokes), sent, "round %d", round)
		known = len(k.Strokes)

		c, a = child(t, folder)
		s := a.state(200, "GET", "/api/panels/"+id, "")
		require.Equal(t, known, s.Strokes.Count)
	}
	left, err := filepath.Glob(filepath.Join(folder, panelsName, id, tempPrefix+"*"))
	require.NoError(t, err)
	assert.Empty(t, left, "what the kills left was swept at the start")
	s := a.settled(id)
	assert.Nil(t, s.Fault)
	assert.Greater(t, known, 5, "there were strokes at all")
	c.Process.Kill()
	c.Wait()
}

// A second server on the same folder is told so.
func TestOneServerPerFolder(t *testing.T) {
	folder := t.TempDir()
	serve(t, folder)
	_, err := Open(Options{Folder: folder})
	f, ok := errors.AsType[*preview.Fault](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, preview.CodeOutput, f.Code)
	assert.Contains(t, f.What, folder)
}

// A start sweeps what was left half done, and nothing else.
func TestSweep(t *testing.T) {
	folder := t.TempDir()
	s, err := openStore(folder)
	require.NoError(t, err)
	f, err := s.temp()
	require.NoError(t, err)
	f.WriteString("photo")
	whole, err := s.create(f, &kept{Version: keptVersion})
	require.NoError(t, err)
	s.close()
	put := func(name string) {
		path := filepath.Join(folder, panelsName, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte("x"), 0o600))
	}
	half := randomName()
	put(half + "/photo")                       // never became a panel
	put(tempPrefix + "upload")                 // a photo on its way in
	put(whole.id + "/" + tempPrefix + "write") // a write that was cut off
	put("notes/mine.txt")                      // somebody's own
	other := randomName()
	put(other + "/" + keptName) // not to be read; perhaps another version's

	s, err = openStore(folder)
	require.NoError(t, err)
	defer s.close()
	var names []string
	for name := range everything(t, filepath.Join(folder, panelsName)) {
		names = append(names, name)
	}
	assert.ElementsMatch(t, []string{whole.id + "/photo", whole.id + "/" + keptName, "notes/mine.txt", other + "/" + keptName}, names)
	assert.Len(t, s.list(), 1)
}

// A write that fails leaves the old file, and no other.
func TestAtomicWriteFails(t *testing.T) {
	folder := t.TempDir()
	dir, err := os.OpenRoot(folder)
	require.NoError(t, err)
	defer dir.Close()
	text := func(s string, err error) func(io.Writer) error {
		return func(w io.Writer) error { io.WriteString(w, s); return err }
	}
	require.NoError(t, writeAtomic(dir, "a", text("old", nil)))
	assert.Error(t, writeAtomic(dir, "a", text("new", errors.New("out of ink"))))
	b, err := os.ReadFile(filepath.Join(folder, "a"))
	require.NoError(t, err)
	assert.Equal(t, "old", string(b))
	assert.Len(t, everything(t, folder), 1)
	info, err := os.Stat(filepath.Join(folder, "a"))
	require.NoError(t, err)
	assert.Zero(t, info.Mode().Perm()&0o077, "nobody else may read it")
}

// A link in a panel's folder leads nowhere.
func TestLinksAreNotFollowed(t *testing.T) {
	a, folder, s := settledPage(t)
	outside := filepath.Join(t.TempDir(), "secret")
	require.NoError(t, os.WriteFile(outside, []byte("secret"), 0o600))
	link := filepath.Join(folder, panelsName, s.ID, zipName)
	if os.Symlink(outside, link) != nil {
		t.Skip("no links here")
	}
	p := a.s.panels[s.ID]
	p.mu.Lock()
	p.kept.Zip = true
	p.mu.Unlock()
	assert.NotContains(t, string(a.bytes(409, "GET", "/api/panels/"+s.ID+"/zip", "")), "secret\"")
	b, err := os.ReadFile(outside)
	require.NoError(t, err)
	assert.Equal(t, "secret", string(b))
}

// Whatever a photo is called, no file here has that name.
func TestNamesAreNoPaths(t *testing.T) {
	folder := t.TempDir()
	a := serve(t, folder)
	for _, name := range []string{"../../x.png", `..\..\x.png`, "/etc/passwd", `C:\x.png`, `\\host\share\x.png`, "CON", "x.", strings.Repeat("n", 255), "a\u202eb.png",
		"-rf", "panel.json", "<script>alert(1)</script>.png", "a;b.png", "~root", "$HOME.png", "\xff\xfe.png", ".", "..", " "} {
		s := a.upload(name, drawnPhoto(t))
		assert.NotContains(t, s.Photo.Name, "/", name)
		a.bytes(200, "POST", "/api/panels/"+s.ID+"/cancel", "")
	}
	for name := range everything(t, folder) {
		assert.Regexp(t, `^(lock|panels/[a-z2-7]{26}/(photo|panel\.json))$`, name)
	}
}
