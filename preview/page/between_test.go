package page

import (
	"encoding/json"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview"
)

// busy keeps all hands of a queue until free is called.
func busy(q *queue) (free func()) {
	for range cap(q.hands) {
		q.hands <- struct{}{}
	}
	return func() {
		for range cap(q.hands) {
			<-q.hands
		}
	}
}

// A panel whose turn has not come says that it waits.
func TestWaiting(t *testing.T) {
	a := serve(t, t.TempDir())
	free := busy(a.s.heavy)
	s := a.upload("layout.png", drawnPhoto(t))
	require.NotNil(t, s.Task)
	assert.Equal(t, "waiting", s.Task.Stage)
	assert.Equal(t, "waiting", a.s.panels[s.ID].listed().Stage)
	free()
	s = a.settled(s.ID)
	assert.Nil(t, s.Task)
	assert.NotNil(t, s.Report)
}

// Between a stroke and its numbers, the old numbers are called old.
func TestStale(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	p := a.s.panels[s.ID]
	p.bench.RLock() // as a picture does that is being drawn
	answer := make(chan told)
	go func() { answer <- a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56)) }()
	between := s
	for between.Strokes.Count == 0 {
		between = a.state(200, "GET", at, "")
	}
	assert.True(t, between.Stale)
	assert.Equal(t, s.Report, between.Report)
	p.bench.RUnlock()
	after := <-answer
	assert.False(t, after.Stale)
	assert.NotEqual(t, s.Report.Gaps, after.Report.Gaps)
}

// A search that was stopped leaves the numbers of the one before. They are called
// old, and the next change searches again and does not build on them.
func TestStoppedSearchIsNotBuiltOn(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	free := busy(a.s.heavy)
	a.state(200, "PATCH", at+"/settings", `{"size":"400x344mm"}`)
	stopped := a.state(200, "POST", at+"/cancel", "")
	free()
	assert.Nil(t, stopped.Task)
	assert.Nil(t, stopped.Fault, "there is an earlier answer to go on with")
	assert.True(t, stopped.Stale)
	a.state(200, "PATCH", at+"/settings", `{"title":"Hall"}`)
	s = a.settled(s.ID)
	assert.False(t, s.Stale)
	assert.NotNil(t, s.Report.Job, "which needs the size")
}

// New numbers alone change no picture: what was drawn for other distances stays. After
// a stroke shades are drawn once more when the light was read anew.
func TestPicturesOutliveFarNumbers(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	a.state(200, "PATCH", at+"/settings", `{"size":"400x344mm"}`)
	a.settled(s.ID)
	near := a.state(200, "PATCH", at+"/settings", `{"distances":"0.5m"}`)
	assert.False(t, near.Rough)
	tag := func() string {
		reply := a.do("GET", at+"/pictures/shade-near-black", nil, "")
		reply.Body.Close()
		return reply.Header.Get("ETag")
	}
	before := tag()
	far := a.state(200, "GET", fmt.Sprintf("%s?after=%d&wait=20", at, near.Revision), "")
	require.Greater(t, far.Revision, near.Revision)
	assert.Equal(t, before, tag())

	near = a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	assert.True(t, near.Rough)
	assert.NotEqual(t, before, tag())
	near = a.settled(s.ID)
	assert.True(t, near.Rough, "alike places have followed, under the light as it was")
	atOnce := tag()
	far = a.state(200, "GET", fmt.Sprintf("%s?after=%d&wait=20", at, near.Revision), "")
	assert.False(t, far.Rough)
	assert.NotEqual(t, atOnce, tag())
}

// A panel without gaps rests as others do; its photo is read again when it is asked
// for, and nothing is searched.
func TestFailedPanelsRest(t *testing.T) {
	a := serve(t, t.TempDir())
	s := a.settled(a.upload("plain.png", plainPaper(t)).ID)
	require.NotNil(t, s.Fault)
	p := a.s.panels[s.ID]
	p.rest()
	assert.Nil(t, p.small)
	assert.NotEmpty(t, a.bytes(200, "GET", "/api/panels/"+s.ID+"/pictures/photo", ""))
	s = a.state(200, "GET", "/api/panels/"+s.ID, "")
	assert.NotNil(t, s.Fault)
	assert.Nil(t, s.Task)
}

// Connections that begin a request and never end it keep nobody out.
func TestHalfOpenConnections(t *testing.T) {
	a := serve(t, t.TempDir())
	address := strings.TrimPrefix(a.base, "http://")
	for i := range 48 {
		c, err := net.Dial("tcp", address)
		require.NoError(t, err)
		defer c.Close()
		begin := "GET /api/panels HTTP/1.1\r\nHost: " + address + "\r\nX-Slow: " // and no more
		if i%2 == 0 {
			begin = "POST /api/panels HTTP/1.1\r\nHost: " + address + "\r\n" + secretHeader + ": " + a.s.secret +
				"\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 1000\r\n\r\n--x\r\n"
		}
		_, err = c.Write([]byte(begin))
		require.NoError(t, err)
	}
	served := make(chan bool)
	go func() {
		a.bytes(200, "GET", "/", "")
		a.bytes(200, "GET", "/api/panels", "")
		a.state(201, "POST", "/api/panels/sample", "")
		close(served)
	}()
	select {
	case <-served:
	case <-time.After(time.Minute):
		t.Fatal("nobody else is served")
	}
}

// The address of a panel is the page's with the panel behind the secret.
func TestAddressOfAPanel(t *testing.T) {
	a := serve(t, t.TempDir())
	id, err := a.s.Add(t.Context(), "layout.png", strings.NewReader(string(drawnPhoto(t))))
	require.NoError(t, err)
	assert.Equal(t, a.base+"/#"+a.s.secret+"/"+id, a.s.Address(id))
	assert.True(t, isID(id))
	assert.Equal(t, "layout.png", a.state(200, "GET", "/api/panels/"+id, "").Photo.Name)
}

// A stroke that the bench refuses is not kept, and the bench goes on as it was: with
// the same numbers, the same strokes to undo and the same file on the disk.
func TestRefusedStrokeIsTakenBack(t *testing.T) {
	a, folder, s := settledPage(t)
	at := "/api/panels/" + s.ID
	p := a.s.panels[s.ID]
	a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "tile", 84, 84))
	a.state(200, "POST", at+"/undo", "")
	before := a.settled(s.ID)
	strokes, file := p.found.Strokes(), keptStrokes(t, folder, s.ID)
	err := p.change(func(k *kept) error {
		// Other strokes in place of the one that lies there, and one that nothing can
		// paint: the page's own check lets none through that large.
		k.Strokes = []stroke{{"tile", 3, []point{{112, 40}, {112, 70}}}, {"gap", 5e6, []point{{56, 40}}}}
		k.Undone = nil
		return nil
	})
	var f *preview.Fault
	require.ErrorAs(t, err, &f)
	assert.Equal(t, preview.CodeUsage, f.Code)
	assert.NotEmpty(t, f.Next)
	after := a.settled(s.ID)
	assert.Equal(t, before.Strokes, after.Strokes)
	assert.Equal(t, before.Report.Gaps, after.Report.Gaps)
	assert.False(t, after.Stale)
	assert.Nil(t, after.Fault)
	assert.Nil(t, after.Task)
	assert.Equal(t, strokes, p.found.Strokes())
	assert.Equal(t, file, keptStrokes(t, folder, s.ID))
	redone := a.state(200, "POST", at+"/redo", "")
	assert.Equal(t, 2, redone.Strokes.Count, "and work goes on")
}

// keptStrokes are those in the file of a panel, as they are written there.
func keptStrokes(t *testing.T, folder, id string) string {
	t.Helper()
	var k struct{ Strokes, Undone json.RawMessage }
	b, err := os.ReadFile(filepath.Join(folder, panelsName, id, keptName))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &k))
	return string(k.Strokes) + string(k.Undone)
}
