package page

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png"
	"net/http"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// opened decodes a picture.
func (a *asker) opened(path string) (image.Image, string) {
	a.t.Helper()
	img, format, err := image.Decode(bytes.NewReader(a.bytes(200, "GET", path, "")))
	require.NoError(a.t, err, path)
	return img, format
}

// Every picture has the shape of the photo, and shows what its name says.
func TestPictures(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID + "/pictures/"
	names := []string{"photo", "gaps", "outlines", "sure"}
	for _, sh := range s.Report.Shades {
		names = append(names, "shade-"+sh.ID, "merged-"+sh.ID)
	}
	var all sync.WaitGroup // as a page asks for them
	for _, name := range names {
		all.Go(func() {
			img, format := a.opened(at + name)
			assert.Equal(t, image.Rect(0, 0, drawnW, drawnH), img.Bounds(), name)
			assert.Equal(t, "png", format, name)
		})
	}
	all.Wait()

	// gaps: dense in the joint between the first two tiles, nothing on them
	gaps, _ := a.opened(at + "gaps")
	joint, tile := image.Pt(drawnX+drawnTile+4, drawnY+24), image.Pt(drawnX+24, drawnY+24)
	alpha := func(img image.Image, p image.Point) uint32 { _, _, _, v := img.At(p.X, p.Y).RGBA(); return v }
	assert.Greater(t, alpha(gaps, joint), uint32(0xf000))
	assert.Zero(t, alpha(gaps, tile))

	// a shade: the joint dark under near-black, the tile as in the photo
	black, _ := a.opened(at + "shade-near-black")
	photo, _ := a.opened(at + "photo")
	assert.Equal(t, photo.At(tile.X, tile.Y), black.At(tile.X, tile.Y), "to the last bit")
	r, _, _, _ := black.At(joint.X, joint.Y).RGBA()
	assert.Less(t, r>>8, uint32(110))
	bare, _, _, _ := photo.At(joint.X, joint.Y).RGBA()
	assert.Greater(t, bare>>8, uint32(200))
	for _, n := range []string{"outlines", "merged-near-white"} {
		img, _ := a.opened(at + n)
		assert.Zero(t, alpha(img, joint), "%s says nothing about joints", n)
	}
}

// Pictures come smaller, from afar, and through other eyes.
func TestPictureViews(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID + "/pictures/"
	small, _ := a.opened(at + "photo?wide=100")
	assert.Equal(t, image.Rect(0, 0, 100, drawnH*100/drawnW), small.Bounds())
	whole, _ := a.opened(at + fmt.Sprintf("photo?wide=%d", drawnW-20))
	assert.Equal(t, drawnW, whole.Bounds().Dx(), "a little less is left to the browser")
	large, _ := a.opened(at + "photo?wide=5000")
	assert.Equal(t, drawnW, large.Bounds().Dx(), "not beyond the working size")
	a.bytes(422, "GET", at+"photo?distance=2", "") // no size is known
	a.state(200, "PATCH", "/api/panels/"+s.ID+"/settings", `{"size":"400x344mm"}`)
	a.settled(s.ID)
	plain := a.bytes(200, "GET", at+"shade-near-black", "")
	for _, q := range []string{"distance=5", "vision=protan", "vision=deutan", "vision=tritan"} {
		assert.NotEqual(t, plain, a.bytes(200, "GET", at+"shade-near-black?"+q, ""), q)
	}
	for _, q := range []string{"distance=0", "distance=x", "vision=cat", "wide=3", "wide=x", "state=wet"} {
		a.bytes(422, "GET", at+"photo?"+q, "")
	}
	a.bytes(404, "GET", at+"shade-nothing", "")
	a.bytes(404, "GET", at+"merged-", "")
}

// A picture is told from the one after the next stroke by its tag.
func TestPictureTags(t *testing.T) {
	a, _, s := settledPage(t)
	ask := func(tag string) *http.Response {
		r, err := http.NewRequest("GET", a.base+"/api/panels/"+s.ID+"/pictures/gaps", nil)
		require.NoError(t, err)
		r.Header.Set(secretHeader, a.s.secret)
		r.Header.Set("If-None-Match", tag)
		reply, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		reply.Body.Close()
		return reply
	}
	first := ask("")
	assert.Equal(t, 200, first.StatusCode)
	tag := first.Header.Get("ETag")
	assert.Equal(t, 304, ask(tag).StatusCode)
	a.state(200, "POST", "/api/panels/"+s.ID+"/strokes", fmt.Sprintf(strokeAt, "gap", 56, 56))
	again := ask(tag)
	assert.Equal(t, 200, again.StatusCode)
	assert.NotEqual(t, tag, again.Header.Get("ETag"))
}

// What the page looks at is drawn ahead while a stroke's numbers are worked out: the
// same bytes as when it is asked for afterwards. Nothing is, that nobody looked at.
func TestPicturesAreDrawnAhead(t *testing.T) {
	a, _, s := settledPage(t)
	p := a.s.panels[s.ID]
	at := "/api/panels/" + s.ID + "/pictures/"
	kinds := func() (names []string) {
		p.mu.Lock()
		defer p.mu.Unlock()
		for _, d := range p.pictures {
			names = append(names, d.view.name)
		}
		return names
	}
	before := map[string][]byte{}
	for _, name := range []string{"photo", "gaps", "shade-near-black?wide=100"} {
		before[name] = a.bytes(200, "GET", at+name, "")
	}
	for i, at56 := range []int{56, 120, 200, 56} { // from the second on what was painted is brought up to the stroke
		a.state(200, "POST", "/api/panels/"+s.ID+"/strokes", fmt.Sprintf(strokeAt, []string{"gap", "tile"}[i/3], at56, 56+i*20))
		require.ElementsMatch(t, []string{"gaps", "shade-near-black"}, kinds())
		early := map[string][]byte{}
		for _, name := range []string{"gaps", "shade-near-black?wide=100"} {
			early[name] = a.bytes(200, "GET", at+name, "")
			assert.NotEqual(t, before[name], early[name], name)
		}
		p.mu.Lock()
		clear(p.pictures)
		p.mu.Unlock()
		for name, b := range early {
			assert.Equal(t, a.bytes(200, "GET", at+name, ""), b, "%s, stroke %d", name, i)
		}
		before = early
	}

	// A shade that is tried no more is not drawn, nor are more pictures than can be guessed.
	a.state(200, "PATCH", "/api/panels/"+s.ID+"/settings", `{"shades":[{"id":"mid-cool","lab":[50,0,-2]}]}`)
	assert.NotContains(t, kinds(), "shade-near-black")
	for _, wide := range []int{64, 70, 80, 90} {
		a.bytes(200, "GET", fmt.Sprintf("%sshade-mid-cool?wide=%d", at, wide), "")
	}
	a.state(200, "POST", "/api/panels/"+s.ID+"/undo", "")
	assert.Empty(t, kinds())
}
