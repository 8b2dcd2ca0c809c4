package page

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"mime/multipart"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The papers are there once a size is known, the calendar once a start is, and none
// of them runs anything.
func TestPapers(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	var f shown
	decode(t, a.bytes(422, "GET", at+"/job.html", ""), &f)
	assert.Equal(t, "size", f.Field)
	a.state(200, "PATCH", at+"/settings", `{"size":"400x344mm","title":"<b>Hall</b>"}`)
	a.settled(s.ID)
	decode(t, a.bytes(422, "GET", at+"/clock.ics", ""), &f)
	assert.Equal(t, "job.start", f.Field)
	a.state(200, "PATCH", at+"/settings", `{"job":{"start":"2026-05-04T10:00"}}`)
	for name, begin := range map[string]string{"job.html": "<!doctype html>", "report.html": "<!doctype html>", "job.pdf": "%PDF-", "clock.ics": "BEGIN:VCALENDAR\r\n"} {
		reply := a.do("GET", at+"/"+name, nil, "")
		b, err := io.ReadAll(reply.Body)
		reply.Body.Close()
		require.NoError(t, err)
		require.Equal(t, 200, reply.StatusCode, name)
		assert.True(t, bytes.HasPrefix(bytes.ToLower(b), bytes.ToLower([]byte(begin))), "%s: %.40s", name, b)
		assert.Equal(t, paperTypes[name], reply.Header.Get("Content-Type"))
		assert.NotContains(t, reply.Header.Get("Content-Security-Policy"), "script-src")
		if strings.HasSuffix(name, ".html") {
			assert.NotContains(t, string(b), "<b>Hall</b>", name)
			assert.NotContains(t, string(b), "<script", name)
		}
	}
}

// A job that can't be is told of, and the numbers are there all the same.
func TestJobThatCantBe(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	a.state(200, "PATCH", at+"/settings", `{"size":"2000x1720mm"}`) // joints of 4 cm
	a.settled(s.ID)
	got := a.state(200, "PATCH", at+"/settings", `{"job":{"kind":"unsanded"}}`)
	require.NotNil(t, got.Fault)
	assert.Equal(t, 2, got.Fault.Code)
	assert.Equal(t, "job.kind", got.Fault.Field)
	assert.NotEmpty(t, got.Fault.Next)
	require.NotNil(t, got.Report)
	assert.Nil(t, got.Report.Job)
	assert.Len(t, got.Report.Shades, 11)
	got = a.state(200, "PATCH", at+"/settings", `{"job":{"kind":"sanded"}}`)
	assert.Nil(t, got.Fault)
}

// The first photo again is no second one, and the panel goes on as it was.
func TestSecondPhoto(t *testing.T) {
	a, folder, s := settledPage(t)
	before := everything(t, folder)
	body, kind := photoForm(t, "again.png", drawnPhoto(t))
	reply := a.do("PUT", "/api/panels/"+s.ID+"/second", body, kind)
	b, err := io.ReadAll(reply.Body)
	reply.Body.Close()
	require.NoError(t, err)
	assert.Equal(t, 422, reply.StatusCode)
	assert.Contains(t, string(b), "is the first photo again")
	assert.Equal(t, before, everything(t, folder))

	// another one is taken, and taken off again
	body, kind = photoForm(t, "black.png", onPaper(t, color.RGBA{20, 20, 22, 255}))
	reply = a.do("PUT", "/api/panels/"+s.ID+"/second", body, kind)
	reply.Body.Close()
	require.Equal(t, 200, reply.StatusCode)
	two := a.settled(s.ID)
	require.Nil(t, two.Fault)
	require.NotNil(t, two.Second)
	assert.Equal(t, drawnW, two.Second.Width)
	one := a.state(200, "DELETE", "/api/panels/"+s.ID+"/second", "")
	assert.Nil(t, one.Second)
	assert.Equal(t, s.Report.Gaps, a.settled(s.ID).Report.Gaps)
}

// Two powders, as the command predicts them: half of L* 92 and half of 25 is near 34
// (the README's example).
func TestBlend(t *testing.T) {
	a := serve(t, t.TempDir())
	var mix struct {
		Lab [3]float64
		Hex string
	}
	decode(t, a.bytes(200, "POST", "/api/blend", `{"a":{"lab":[92,0,0]},"b":{"lab":[25,0,0]},"parts":[1,1]}`), &mix)
	assert.InDelta(t, 34, mix.Lab[0], .6)
	assert.Regexp(t, `^#[0-9a-f]{6}$`, mix.Hex)
}

// Three samples on white paper come back in reading order. Their lightness by hand:
// codes of 200, 130 and 70 in sRGB are L* 80.6, 54.4 and 29.9.
func TestChips(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 600, 300))
	for y := range 300 {
		for x := range 600 {
			c := uint8(236) // L* 93, office paper
			if y >= 90 && y < 210 && x%200 >= 40 && x%200 < 160 {
				c = []uint8{200, 130, 70}[x/200]
			}
			img.SetRGBA(x, y, color.RGBA{c, c, c, 255})
		}
	}
	var photo, body bytes.Buffer
	require.NoError(t, png.Encode(&photo, img))
	w := multipart.NewWriter(&body)
	w.WriteField("reference", "white")
	p, err := w.CreateFormFile("photo", "chips.png")
	require.NoError(t, err)
	p.Write(photo.Bytes())
	w.Close()
	a := serve(t, t.TempDir())
	reply := a.do("POST", "/api/chips", &body, w.FormDataContentType())
	b, err := io.ReadAll(reply.Body)
	reply.Body.Close()
	require.NoError(t, err)
	require.Equal(t, 200, reply.StatusCode, "%s", b)
	var got struct{ Shades []coloured }
	require.NoError(t, json.Unmarshal(b, &got))
	require.Len(t, got.Shades, 3)
	for i, l := range []float64{80.6, 54.4, 29.9} {
		assert.Less(t, math.Abs(got.Shades[i].Lab[0]-l), 1.5, "%v", got.Shades[i])
	}
}

// What the page offers is what the server takes.
func TestChoices(t *testing.T) {
	a, _, s := settledPage(t)
	var c struct {
		Shades                          []coloured
		Materials, Places, Kinds, Units []string
		Aims, States, Marks, Languages  []string
		Limits                          map[string]int
		Version                         string
	}
	decode(t, a.bytes(200, "GET", "/api/choices", ""), &c)
	assert.Len(t, c.Shades, 11)
	assert.Equal(t, []string{"gap", "tile", "outside"}, c.Marks)
	assert.Equal(t, "test", c.Version)
	at := "/api/panels/" + s.ID + "/settings"
	for field, words := range map[string][]string{"aim": c.Aims, "state": c.States} {
		for _, w := range words {
			a.bytes(200, "PATCH", at, `{"`+field+`":"`+w+`"}`)
		}
	}
	for field, words := range map[string][]string{"material": c.Materials, "place": c.Places, "kind": c.Kinds, "units": c.Units} {
		for _, w := range words {
			a.bytes(200, "PATCH", at, `{"job":{"`+field+`":"`+w+`"}}`)
		}
	}
}

// A stroke is answered from near; what is seen from afar follows by itself.
func TestFarNumbersFollow(t *testing.T) {
	a, _, s := settledPage(t)
	at := "/api/panels/" + s.ID
	a.state(200, "PATCH", at+"/settings", `{"size":"400x344mm"}`)
	s = a.settled(s.ID)
	require.Len(t, s.Report.Shades[0].At, 3)
	near := a.state(200, "POST", at+"/strokes", `{"mark":"outside","radius":36,"points":[[336,280]]}`)
	assert.Empty(t, near.Report.Shades[0].At)
	far := a.state(200, "GET", at+"?after="+strconv.Itoa(near.Revision)+"&wait=20", "")
	assert.Len(t, far.Report.Shades[0].At, 3)
	assert.Equal(t, near.Report.Gaps, far.Report.Gaps)
	assert.Equal(t, 29, far.Report.Tiles.Count)
	aimed := a.state(200, "PATCH", at+"/settings", `{"aim":"blend"}`)
	assert.Len(t, aimed.Report.Shades[0].At, 3, "the aim changes nothing of it")
}
