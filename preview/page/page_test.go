package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/examples"
)

// asker is somebody who knows the secret of a page.
type asker struct {
	t    *testing.T
	s    *Server
	base string
}

// serve starts a page on a folder and ends it with the test.
func serve(t *testing.T, folder string) *asker {
	t.Helper()
	s, err := Open(Options{Folder: folder, Version: "test"})
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		assert.NoError(t, <-ended)
	})
	return &asker{t, s, "http://" + s.listener.Addr().String()}
}

// do asks with the secret; body is JSON text, a form, or nothing.
func (a *asker) do(method, path string, body io.Reader, kind string) *http.Response {
	a.t.Helper()
	r, err := http.NewRequest(method, a.base+path, body)
	require.NoError(a.t, err)
	r.Header.Set(secretHeader, a.s.secret)
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	reply, err := http.DefaultClient.Do(r)
	require.NoError(a.t, err)
	return reply
}

// bytes gives the reply's bytes, which must have a status.
func (a *asker) bytes(status int, method, path, body string) []byte {
	a.t.Helper()
	kind := ""
	if body != "" {
		kind = "application/json"
	}
	reply := a.do(method, path, strings.NewReader(body), kind)
	defer reply.Body.Close()
	b, err := io.ReadAll(reply.Body)
	require.NoError(a.t, err)
	require.Equal(a.t, status, reply.StatusCode, "%s %s: %s", method, path, b)
	return b
}

// told is the part of a state that tests look at.
type told struct {
	ID       string
	Title    string
	Revision int
	Photo    struct {
		Name          string
		Width, Height int
		Working       [2]int
	}
	Second  *struct{ Width int }
	Strokes struct {
		Count      int
		Undo, Redo bool
	}
	Settings settings
	Task     *struct{ Kind, Stage string }
	Stale    bool
	Rough    bool
	Learning bool
	Fault    *shown
	Corners  *corners
	Rings    [][]point
	Report   *struct {
		Frame  struct{ Shape string }
		Tiles  struct{ Count int }
		Gaps   struct{ Share float64 }
		Shades []struct {
			ID string
			At []struct{ Distance_m float64 }
		}
		Job *struct{}
	}
	Zip_ready bool
}

func (a *asker) state(status int, method, path, body string) (s told) {
	a.t.Helper()
	require.NoError(a.t, json.Unmarshal(a.bytes(status, method, path, body), &s))
	return s
}

// photoForm is a form with a photo.
func photoForm(t *testing.T, name string, b []byte) (io.Reader, string) {
	t.Helper()
	var out bytes.Buffer
	w := multipart.NewWriter(&out)
	p, err := w.CreateFormFile("photo", name)
	require.NoError(t, err)
	p.Write(b)
	require.NoError(t, w.Close())
	return &out, w.FormDataContentType()
}

// upload sends a photo and gives the state that comes back.
func (a *asker) upload(name string, b []byte) (s told) {
	a.t.Helper()
	body, kind := photoForm(a.t, name, b)
	reply := a.do("POST", "/api/panels", body, kind)
	defer reply.Body.Close()
	got, _ := io.ReadAll(reply.Body)
	require.Equal(a.t, 201, reply.StatusCode, "%s", got)
	require.NoError(a.t, json.Unmarshal(got, &s))
	return s
}

// settled waits until nothing is being done on a panel.
func (a *asker) settled(id string) told {
	a.t.Helper()
	for range 200 {
		s := a.state(200, "GET", "/api/panels/"+id, "")
		if s.Task == nil && !s.Learning && (s.Report != nil || s.Fault != nil) {
			return s
		}
		a.bytes(200, "GET", fmt.Sprintf("/api/panels/%s?after=%d&wait=1", id, s.Revision), "")
	}
	a.t.Fatal("work without end")
	return told{}
}

const strokeAt = `{"mark":"%s","radius":3,"points":[[%d,40],[%d,70]]}`

// The whole way of a panel: sent, found, painted on, changed, kept, deleted.
func TestPanel(t *testing.T) {
	folder := t.TempDir()
	a := serve(t, folder)
	first := a.upload("../../my panel.png", drawnPhoto(t))
	assert.Equal(t, "my panel.png", first.Photo.Name)
	assert.Equal(t, [2]int{drawnW, drawnH}, first.Photo.Working)
	at := "/api/panels/" + first.ID
	found := a.settled(first.ID)
	require.Nil(t, found.Fault)
	require.NotNil(t, found.Report)
	assert.Len(t, found.Report.Shades, 11)
	assert.Equal(t, 30, found.Report.Tiles.Count)
	assert.NotNil(t, found.Corners)
	assert.Nil(t, found.Report.Job, "no size, no job")

	// strokes change the gaps, undo brings the old ones back
	painted := a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	assert.NotEqual(t, found.Report.Gaps.Share, painted.Report.Gaps.Share)
	assert.Greater(t, painted.Revision, found.Revision)
	assert.Equal(t, 1, painted.Strokes.Count)
	undone := a.state(200, "POST", at+"/undo", "")
	assert.Equal(t, found.Report.Gaps.Share, undone.Report.Gaps.Share)
	assert.False(t, undone.Strokes.Undo)
	assert.True(t, undone.Strokes.Redo)
	redone := a.state(200, "POST", at+"/redo", "")
	assert.Equal(t, painted.Report.Gaps.Share, redone.Report.Gaps.Share)

	// what needs no search is answered at once
	aimed := a.state(200, "PATCH", at+"/settings", `{"aim":"blend","title":"Kitchen","job":{"thickness":"3mm"}}`)
	assert.Nil(t, aimed.Task)
	assert.Equal(t, "blend", aimed.Settings.Aim)
	assert.Equal(t, "auto", aimed.Settings.Job.Kind, "what was not said stays")
	assert.Equal(t, "Kitchen", aimed.Title)
	few := a.state(200, "PATCH", at+"/settings", `{"shades":[{"id":"mine","lab":[50,1,2]},{"id":"near-black","lab":[25.26,0,0]}]}`)
	assert.Len(t, few.Report.Shades, 2)

	// and what needs one is work in progress
	sized := a.state(200, "PATCH", at+"/settings", `{"size":"400x344mm","corners":[[28,28],[371,28],[371,315],[28,315]]}`)
	require.NotNil(t, sized.Task)
	assert.Equal(t, "gaps", sized.Task.Kind)
	sized = a.settled(first.ID)
	require.Nil(t, sized.Fault)
	assert.Equal(t, 1, sized.Strokes.Count, "strokes are still there")
	assert.NotNil(t, sized.Report.Job)
	assert.Len(t, sized.Report.Shades[0].At, 3)

	// the list, and a new start with everything where it was
	list := string(a.bytes(200, "GET", "/api/panels", ""))
	assert.Contains(t, list, `"title":"Kitchen"`)
	assert.NotContains(t, list, folder)
	a.bytes(204, "DELETE", at, "")
	a.bytes(404, "GET", at, "")
	left, err := os.ReadDir(filepath.Join(folder, panelsName))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// A page that starts again has everything that was said and painted.
func TestPanelsAreKept(t *testing.T) {
	folder := t.TempDir()
	t.Run("first", func(t *testing.T) {
		a := serve(t, folder)
		s := a.upload("kept.png", drawnPhoto(t))
		a.settled(s.ID)
		a.state(200, "POST", "/api/panels/"+s.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
		a.state(200, "POST", "/api/panels/"+s.ID+"/strokes", fmt.Sprintf(strokeAt, "tile", 84, 84))
		a.state(200, "POST", "/api/panels/"+s.ID+"/undo", "")
		a.state(200, "PATCH", "/api/panels/"+s.ID+"/settings", `{"aim":"outline"}`)
	})
	a := serve(t, folder)
	var list struct{ Panels []listed }
	require.NoError(t, json.Unmarshal(a.bytes(200, "GET", "/api/panels", ""), &list))
	require.Len(t, list.Panels, 1)
	assert.Equal(t, "asleep", list.Panels[0].Stage)
	s := a.settled(list.Panels[0].ID)
	assert.Equal(t, 1, s.Strokes.Count)
	assert.True(t, s.Strokes.Redo)
	assert.Equal(t, "outline", s.Settings.Aim)
	require.NotNil(t, s.Report)
}

// Strokes painted while the gaps are still looked for are not lost.
func TestStrokesWhileSearching(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.upload("early.png", drawnPhoto(t))
	for x := range 3 {
		a.state(200, "POST", "/api/panels/"+s.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", 56+56*x, 56+56*x))
	}
	early := a.settled(s.ID)
	assert.Equal(t, 3, early.Strokes.Count)
	late := a.upload("late.png", drawnPhoto(t))
	a.settled(late.ID)
	for x := range 3 {
		a.state(200, "POST", "/api/panels/"+late.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", 56+56*x, 56+56*x))
	}
	assert.Equal(t, early.Report.Gaps, a.settled(late.ID).Report.Gaps)
}

// A question for news waits for it, and no longer than it was told to.
func TestLongPoll(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.upload("poll.png", drawnPhoto(t))
	s = a.settled(s.ID)
	at := "/api/panels/" + s.ID
	news := make(chan told)
	go func() { news <- a.state(200, "GET", fmt.Sprintf("%s?after=%d&wait=20", at, s.Revision), "") }()
	select {
	case <-news:
		t.Error("an answer without news")
	case <-time.After(200 * time.Millisecond):
	}
	a.state(200, "PATCH", at+"/settings", `{"aim":"blend"}`)
	assert.Greater(t, (<-news).Revision, s.Revision)
	assert.Equal(t, s.Revision+1, a.state(200, "GET", fmt.Sprintf("%s?after=%d&wait=20", at, s.Revision), "").Revision, "old news at once")
	assert.Equal(t, s.Revision+1, a.state(200, "GET", fmt.Sprintf("%s?after=%d&wait=0.05", at, s.Revision+1), "").Revision, "no news after a while")
	a.bytes(400, "GET", at+"?after=x", "")
	a.bytes(400, "GET", at+"?after=1&wait=NaN", "")
}

// A photo without a panel gives a fault in the command's words, and still a picture.
func TestNoGaps(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "photos", "cat.png"))
	require.NoError(t, err)
	a := serve(t, t.TempDir())
	s := a.settled(a.upload("cat.png", b).ID)
	require.NotNil(t, s.Fault)
	assert.Equal(t, 6, s.Fault.Code)
	assert.Equal(t, "no reliable gaps found", s.Fault.What)
	assert.NotEmpty(t, s.Fault.Next)
	assert.NotEmpty(t, a.bytes(200, "GET", "/api/panels/"+s.ID+"/pictures/photo", ""))
	a.bytes(409, "GET", "/api/panels/"+s.ID+"/pictures/gaps", "")
	a.bytes(409, "GET", "/api/panels/"+s.ID+"/job.html", "")
}

// Work can be given up, and taken up again by a change.
func TestCancel(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.upload("lemons.jpg", examples.Lemons)
	at := "/api/panels/" + s.ID
	stopped := a.state(200, "POST", at+"/cancel", "")
	assert.Nil(t, stopped.Task)
	require.NotNil(t, stopped.Fault)
	assert.Equal(t, 130, stopped.Fault.Code)
	for range 3 { // to look at it is not to start it
		seen := a.state(200, "GET", at, "")
		assert.Nil(t, seen.Task)
		require.NotNil(t, seen.Fault)
		assert.Equal(t, 130, seen.Fault.Code)
	}
	a.state(200, "PATCH", at+"/settings", `{"bed":"white"}`)
	again := a.settled(s.ID)
	assert.Nil(t, again.Fault)
	assert.NotNil(t, again.Report)
}

// The sample comes with what is known about it.
func TestSample(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.state(201, "POST", "/api/panels/sample", "")
	assert.Equal(t, "383x303mm", s.Settings.Size)
	assert.Equal(t, "white", s.Settings.Bed)
	s = a.settled(s.ID)
	require.Nil(t, s.Fault)
	assert.NotNil(t, s.Report.Job)
}

func decode(t *testing.T, b []byte, v any) {
	t.Helper()
	require.NoError(t, json.Unmarshal(b, v))
}

// Few panels are held ready; one that rests wakes as it was when it is looked at.
func TestPanelsRest(t *testing.T) {
	a := serve(t, t.TempDir())
	first := a.settled(a.upload("first.png", drawnPhoto(t)).ID)
	a.state(200, "POST", "/api/panels/"+first.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	painted := a.settled(first.ID)
	for range awake + 1 {
		a.settled(a.upload("another.png", drawnPhoto(t)).ID)
	}
	asleep := 0
	for _, l := range a.s.all() {
		if l.Stage == "asleep" {
			asleep++
		}
	}
	assert.Equal(t, 2, asleep)
	assert.Equal(t, "asleep", a.s.panels[first.ID].listed().Stage, "the one looked at longest ago")
	again := a.settled(first.ID)
	assert.Equal(t, painted.Report.Gaps, again.Report.Gaps)
}

// A panel can be deleted while work is being done on it.
func TestDeleteWhileSearching(t *testing.T) {
	folder := t.TempDir()
	a := serve(t, folder)
	s := a.upload("lemons.jpg", examples.Lemons)
	a.bytes(204, "DELETE", "/api/panels/"+s.ID, "")
	a.bytes(404, "GET", "/api/panels/"+s.ID, "")
	for name := range everything(t, folder) {
		assert.Equal(t, lockName, name)
	}
}
