package page

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A stroke is answered while what it teaches is still to come, and so is the next one,
// which puts that off; what follows in the end is what a page finds that knew of both
// strokes from the start.
func TestAlikePlacesFollow(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	free := busy(a.s.lessons) // as if the network looked all the time
	first := a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	assert.True(t, first.Learning)
	assert.False(t, first.Stale, "the numbers are of the map as it is")
	assert.NotEqual(t, s.Report.Gaps, first.Report.Gaps, "the stroke's own place follows at once")
	a.bytes(422, "POST", at+"/strokes", `{"mark":"nothing","radius":3,"points":[[5,5]]}`)
	assert.True(t, a.state(200, "GET", at, "").Learning, "a stroke that was refused stops nothing for good")
	second := a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 168, 168))
	assert.True(t, second.Learning)
	free()
	learned := a.settled(s.ID)
	assert.Greater(t, learned.Revision, second.Revision)
	assert.Nil(t, a.s.panels[s.ID].found.Lesson(), "there is nothing more to learn")

	other := a.upload("other.png", drawnPhoto(t))
	free = busy(a.s.heavy) // its search waits
	for _, x := range []int{56, 168} {
		a.state(200, "POST", "/api/panels/"+other.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", x, x))
	}
	free()
	assert.Equal(t, a.settled(other.ID).Report.Gaps, learned.Report.Gaps)

	off := a.state(200, "POST", at+"/undo", "")
	off = a.state(200, "POST", at+"/undo", "")
	assert.False(t, off.Learning, "what it was before is known")
	assert.Equal(t, s.Report.Gaps, off.Report.Gaps)
	a.state(200, "POST", at+"/redo", "")
	a.state(200, "POST", at+"/redo", "")
	assert.Equal(t, learned.Report.Gaps, a.settled(s.ID).Report.Gaps)
}

// A page that ends while a stroke is about to teach finds on its next start what it
// would have taught.
func TestALessonOutlivesThePage(t *testing.T) {
	folder := t.TempDir()
	var id string
	var learned told
	t.Run("first", func(t *testing.T) {
		a := serve(t, folder)
		id = a.settled(a.upload("kept.png", drawnPhoto(t)).ID).ID
		at := "/api/panels/" + id
		a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
		learned = a.settled(id)
		a.state(200, "POST", at+"/undo", "")
		busy(a.s.lessons)
		assert.True(t, a.state(200, "POST", at+"/redo", "").Learning)
	})
	a := serve(t, folder)
	again := a.settled(id)
	require.NotNil(t, again.Report)
	assert.Equal(t, learned.Report.Gaps, again.Report.Gaps)
}

// Settings that need another search put off what strokes teach: it will begin with them.
func TestASearchTeachesToo(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	free := busy(a.s.lessons)
	a.state(200, "POST", at+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	searching := a.state(200, "PATCH", at+"/settings", `{"bed":"white","size":"400x344mm"}`)
	require.NotNil(t, searching.Task)
	assert.False(t, searching.Learning)
	found := a.settled(s.ID)
	free()
	assert.False(t, found.Learning)
	assert.Nil(t, a.s.panels[s.ID].found.Lesson())
}
