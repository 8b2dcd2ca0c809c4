package page

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"mime/multipart"
	"net"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everything is what lies in a folder: names and bytes.
func everything(t *testing.T, folder string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS(folder), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(folder + "/" + path)
		sum := sha256.Sum256(b)
		out[path] = hex.EncodeToString(sum[:])
		return err
	}))
	return out
}

// settledPage is a page with one panel, ready.
func settledPage(t *testing.T) (a *asker, folder string, s told) {
	t.Helper()
	folder = t.TempDir()
	a = serve(t, folder)
	s = a.settled(a.upload("layout.png", drawnPhoto(t)).ID)
	require.Nil(t, s.Fault)
	return a, folder, s
}

// calls are all that can be asked about a panel, and all else.
func calls(id string) []string {
	at := "/api/panels/" + id
	return []string{
		"GET /api/panels", "POST /api/panels", "POST /api/panels/sample", "GET " + at, "DELETE " + at, "PATCH " + at + "/settings",
		"PUT " + at + "/second", "DELETE " + at + "/second", "POST " + at + "/strokes", "POST " + at + "/undo", "POST " + at + "/redo",
		"POST " + at + "/cancel", "GET " + at + "/pictures/photo", "POST " + at + "/zip", "GET " + at + "/zip", "GET " + at + "/job.html",
		"GET " + at + "/job.pdf", "GET " + at + "/clock.ics", "GET " + at + "/report.html", "POST /api/chips", "POST /api/blend", "GET /api/choices",
	}
}

// hostile is a request that must be refused.
type hostile struct {
	name   string
	status int
	change func(r *http.Request)
}

// strangers are what a browser sends for a page that isn't ours, and what others may
// send; all with the right secret, which a stranger hasn't got.
func strangers(port string) []hostile {
	header := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	host := func(h string) func(*http.Request) { return func(r *http.Request) { r.Host = h } }
	return []hostile{
		{"a foreign name that points here", 403, host("evil.example:" + port)},
		{"a name that ends in localhost", 403, host("evil.localhost:" + port)},
		{"our name before another", 403, host("127.0.0.1.evil.example:" + port)},
		{"no port", 403, host("127.0.0.1")},
		{"another port", 403, host("127.0.0.1:1")},
		{"another loopback address", 403, host("127.0.0.2:" + port)},
		{"the address as a number", 403, host("2130706433:" + port)},
		{"all addresses", 403, host("0.0.0.0:" + port)},
		{"a dot behind the name", 403, host("localhost.:" + port)},
		{"another site", 403, header("Sec-Fetch-Site", "cross-site")},
		{"another port of this computer", 403, header("Sec-Fetch-Site", "same-site")},
		{"a site of no known kind", 403, header("Sec-Fetch-Site", "nonsense")},
		{"an origin without a name", 403, header("Origin", "null")},
		{"a foreign origin", 403, header("Origin", "http://evil.example")},
		{"our origin by another scheme", 403, header("Origin", "https://127.0.0.1:"+port)},
		{"our origin at another port", 403, header("Origin", "http://127.0.0.1:1")},
		{"an origin that says same-origin", 403, func(r *http.Request) {
			r.Header.Set("Origin", "http://evil.example")
			r.Header.Set("Sec-Fetch-Site", "same-origin")
		}},
		{"no secret", 403, func(r *http.Request) { r.Header.Del(secretHeader) }},
		{"an empty secret", 403, header(secretHeader, "")},
		{"a wrong secret", 403, header(secretHeader, strings.Repeat("0", 32))},
		{"a secret and more", 403, func(r *http.Request) { r.Header.Set(secretHeader, r.Header.Get(secretHeader)+"0") }},
		{"two secrets", 403, func(r *http.Request) { r.Header.Add(secretHeader, strings.Repeat("0", 32)) }},
		{"the secret as a cookie", 403, func(r *http.Request) {
			r.Header.Set("Cookie", secretHeader+"="+r.Header.Get(secretHeader))
			r.Header.Del(secretHeader)
		}},
		{"the secret in the address", 403, func(r *http.Request) {
			r.URL.RawQuery = secretHeader + "=" + r.Header.Get(secretHeader)
			r.Header.Del(secretHeader)
		}},
	}
}

// Whoever is not the page is refused by every call, and learns and changes nothing.
func TestStrangersAreRefused(t *testing.T) {
	a, folder, s := settledPage(t)
	_, port, err := net.SplitHostPort(strings.TrimPrefix(a.base, "http://"))
	require.NoError(t, err)
	before, n := everything(t, folder), 0
	for _, h := range strangers(port) {
		for _, call := range calls(s.ID) {
			method, path, _ := strings.Cut(call, " ")
			r, err := http.NewRequest(method, a.base+path, strings.NewReader("{}"))
			require.NoError(t, err)
			r.Header.Set(secretHeader, a.s.secret)
			r.Header.Set("Content-Type", "application/json")
			h.change(r)
			reply, err := http.DefaultClient.Do(r)
			require.NoError(t, err)
			b, _ := io.ReadAll(reply.Body)
			reply.Body.Close()
			assert.Equal(t, h.status, reply.StatusCode, "%s: %s", h.name, call)
			assert.NotContains(t, string(b), s.ID)
			assert.NotContains(t, string(b), a.s.secret)
			n++
		}
	}
	assert.Greater(t, n, 500)
	assert.Equal(t, before, everything(t, folder))
	after := a.state(200, "GET", "/api/panels/"+s.ID, "")
	assert.Equal(t, s.Revision, after.Revision)
	assert.Nil(t, after.Task)
	// and the page itself needs no secret, only the right name
	for _, path := range []string{"/", "/assets/api.js"} {
		reply, err := http.Get(a.base + path)
		require.NoError(t, err)
		assert.Equal(t, 200, reply.StatusCode)
		reply.Body.Close()
	}
}

// raw sends bytes as they are and gives the status of the answer, 0 when the server
// just hangs up.
func (a *asker) raw(text string) int {
	a.t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(a.base, "http://"))
	require.NoError(a.t, err)
	defer c.Close()
	host := strings.TrimPrefix(a.base, "http://")
	text = strings.NewReplacer("HOST", host, "SECRET", a.s.secret, "\n", "\r\n").Replace(text)
	_, err = io.WriteString(c, text)
	require.NoError(a.t, err)
	c.(*net.TCPConn).CloseWrite()
	reply, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0
	}
	defer reply.Body.Close()
	return reply.StatusCode
}

// parts is a form of n small parts.
func parts(n int, name string) (string, string) {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for range n {
		p, _ := w.CreateFormFile(name, "x")
		p.Write([]byte("x"))
	}
	w.Close()
	return b.String(), w.FormDataContentType()
}

// What no page would send is refused, and nothing comes of it.
func TestMalformedRequestsAreRefused(t *testing.T) {
	a, folder, s := settledPage(t)
	at := "/api/panels/" + s.ID
	before := everything(t, folder)
	const head = "\nHost: HOST\nGapshade-Secret: SECRET\n"
	length := func(kind, body string) string {
		return fmt.Sprintf("%sContent-Type: %s\nContent-Length: %d\n\n%s", head, kind, len(body), body)
	}
	many, kind := parts(10_000, "photo")
	odd, oddKind := parts(1, "../../etc")
	none, noneKind := parts(0, "")
	junk, junkKind := parts(1, "photo")
	for name, text := range map[string]string{
		"up":                    "GET /api/panels/../../lock HTTP/1.1" + head + "\n",
		"up, escaped":           "GET /api/panels/%2e%2e/lock HTTP/1.1" + head + "\n",
		"up, escaped twice":     "GET /api/panels/%252e%252e/lock HTTP/1.1" + head + "\n",
		"up with backslashes":   "GET /api/panels/..\\lock HTTP/1.1" + head + "\n",
		"an escaped stroke":     "GET " + at + "%2fpanel.json HTTP/1.1" + head + "\n",
		"a doubled stroke":      "GET //api/panels HTTP/1.1" + head + "\n",
		"a dot":                 "GET /api/./panels HTTP/1.1" + head + "\n",
		"a NUL":                 "GET /assets/index.html%00.js HTTP/1.1" + head + "\n",
		"a line end":            "GET /assets/%0d%0aX:%20y HTTP/1.1" + head + "\n",
		"no UTF-8":              "GET /assets/%ff%fe HTTP/1.1" + head + "\n",
		"a device":              "GET /assets/CON HTTP/1.1" + head + "\n",
		"a drive":               "GET /assets/C:/x.js HTTP/1.1" + head + "\n",
		"a long name":           "GET /assets/" + strings.Repeat("a", 5000) + ".js HTTP/1.1" + head + "\n",
		"a folder":              "GET /assets/ HTTP/1.1" + head + "\n",
		"a source file":         "GET /assets/../guard.go HTTP/1.1" + head + "\n",
		"a kept file":           "GET " + at + "/panel.json HTTP/1.1" + head + "\n",
		"no panel":              "GET /api/panels/aaaaaaaaaaaaaaaaaaaaaaaaaa HTTP/1.1" + head + "\n",
		"no picture":            "GET " + at + "/pictures/passwd HTTP/1.1" + head + "\n",
		"a picture up":          "GET " + at + "/pictures/..%2f..%2flock HTTP/1.1" + head + "\n",
		"a picture without end": "GET " + at + "/pictures/photo?wide=-1 HTTP/1.1" + head + "\n",
		"a method":              "TRACE " + at + " HTTP/1.1" + head + "\n",
		"putting on":            "PUT " + at + " HTTP/1.1" + head + "\n",
		"huge headers":          "GET " + at + " HTTP/1.1" + head + "X: " + strings.Repeat("a", 40_000) + "\n\n",
		"no host":               "GET " + at + " HTTP/1.1\nGapshade-Secret: SECRET\n\n",
		"two hosts":             "GET " + at + " HTTP/1.1" + head + "Host: evil\n\n",
		"a whole address":       "GET http://evil.example" + at + " HTTP/1.1" + head + "\n",
		"two lengths":           "POST " + at + "/undo HTTP/1.1" + head + "Content-Length: 0\nContent-Length: 5\n\nhello",
		"a form":                "POST " + at + "/strokes HTTP/1.1" + length("application/x-www-form-urlencoded", "mark=gap"),
		"plain text":            "POST " + at + "/strokes HTTP/1.1" + length("text/plain", `{"mark":"gap","radius":1,"points":[[9,9]]}`),
		"deep brackets":         "POST " + at + "/strokes HTTP/1.1" + length("application/json", strings.Repeat("[", 100_000)),
		"deep but closed":       "PATCH " + at + "/settings HTTP/1.1" + length("application/json", strings.Repeat("[", 80)+strings.Repeat("]", 80)),
		"an unknown field":      "PATCH " + at + "/settings HTTP/1.1" + length("application/json", `{"path":"/etc/passwd"}`),
		"two values":            "PATCH " + at + "/settings HTTP/1.1" + length("application/json", `{} {}`),
		"a mark at the front":   "PATCH " + at + "/settings HTTP/1.1" + length("application/json", "\ufeff{}"),
		"a number beyond all":   "POST " + at + "/strokes HTTP/1.1" + length("application/json", `{"mark":"gap","radius":1e999,"points":[[9,9]]}`),
		"two megabytes":         "PATCH " + at + "/settings HTTP/1.1" + length("application/json", `{"title":"`+strings.Repeat("a", 2<<20)+`"}`),
		"a length that lies":    "PATCH " + at + "/settings HTTP/1.1" + head + "Content-Type: application/json\nContent-Length: 500\n\n{",
		"a photo that lies":     "POST /api/panels HTTP/1.1" + head + "Content-Type: " + kind + "\nContent-Length: 900\n\n--",
		"a photo of a terabyte": "POST /api/panels HTTP/1.1" + head + "Content-Type: " + kind + "\nContent-Length: 1000000000000\n\n",
		"10,000 photos":         "POST /api/panels HTTP/1.1" + length(kind, many),
		"a part with a path":    "POST /api/panels HTTP/1.1" + length(oddKind, odd),
		"no parts":              "POST /api/panels HTTP/1.1" + length(noneKind, none),
		"no photo at all":       "POST /api/panels HTTP/1.1" + length(junkKind, junk),
		"no boundary":           "POST /api/panels HTTP/1.1" + length("multipart/form-data", many),
		"a second that is none": "PUT " + at + "/second HTTP/1.1" + length(junkKind, junk),
		"chips that are none":   "POST /api/chips HTTP/1.1" + length(junkKind, junk),
		"a blend of nothing":    "POST /api/blend HTTP/1.1" + length("application/json", `{"a":{"lab":[50,0,0]},"b":{"lab":[60,0,0]},"parts":[0,0]}`),
		"a blend beyond white":  "POST /api/blend HTTP/1.1" + length("application/json", `{"a":{"lab":[500,0,0]},"b":{"lab":[60,0,0]},"parts":[1,1]}`),
		"three corners":         "PATCH " + at + "/settings HTTP/1.1" + length("application/json", `{"corners":[[10,10],[300,10],[300,300]]}`),
		"five corners":          "PATCH " + at + "/settings HTTP/1.1" + length("application/json", `{"corners":[[10,10],[300,10],[300,300],[10,300],[9,9]]}`),
		"a point of three":      "POST " + at + "/strokes HTTP/1.1" + length("application/json", `{"mark":"gap","radius":1,"points":[[9,9,9]]}`),
		"a zip that isn't":      "GET " + at + "/zip HTTP/1.1" + head + "\n",
		"a calendar, no start":  "GET " + at + "/clock.ics HTTP/1.1" + head + "\n",
		"not HTTP":              "\x16\x03\x01\x02\n\n",
	} {
		status := a.raw(text)
		assert.True(t, status == 0 || status >= 400 && status < 500, "%s: %d", name, status)
	}
	assert.Equal(t, before, everything(t, folder))
	after := a.state(200, "GET", "/api/panels/"+s.ID, "")
	assert.Equal(t, s.Revision, after.Revision)
	assert.Nil(t, after.Fault)
}

// Settings and strokes that can't be are refused by name, and the old ones stay.
func TestBadSettingsAreRefused(t *testing.T) {
	a, folder, s := settledPage(t)
	before := everything(t, folder)
	for body, field := range map[string]string{
		`{"aim":"loud"}`:                                                 "aim",
		`{"size":"large"}`:                                               "size",
		`{"size":"-3x4mm"}`:                                              "size",
		`{"bed":"#12"}`:                                                  "bed",
		`{"second_bed":"plaid"}`:                                         "second_bed",
		`{"gap":"2mm"}`:                                                  "gap", // needs a size
		`{"shoulder":"two"}`:                                             "shoulder",
		`{"grey":"1,2"}`:                                                 "grey",
		`{"state":"wet"}`:                                                "state",
		`{"size":"400x344mm","distances":"0.001m"}`:                      "distances",
		`{"size":"400x344mm","distances":"far"}`:                         "distances",
		`{"corners":[[0,0],[1,0],[1,1],[0,1]]}`:                          "corners", // too small
		`{"corners":[[10,10],[10,300],[300,300],[300,10]]}`:              "corners", // the other way round
		`{"corners":[[10,10],[9000,10],[300,300],[10,300]]}`:             "corners", // beside the photo
		`{"shades":[{"id":"../x","lab":[50,0,0]}]}`:                      "shades",
		`{"shades":[{"id":"a","lab":[500,0,0]}]}`:                        "shades",
		`{"shades":[{"id":"a","lab":[5,0,0]},{"id":"a","lab":[6,0,0]}]}`: "shades",
		`{"title":"` + strings.Repeat("x", 500) + `"}`:                   "title",
		`{"title":"two\nlines"}`:                                         "title",
		`{"job":{"thickness":"thick"}}`:                                  "job.thickness",
		`{"job":{"temperature":"hot"}}`:                                  "job.temperature",
		`{"job":{"start":"soon"}}`:                                       "job.start",
		`{"job":{"allowance":"-4%"}}`:                                    "job.allowance",
		`{"job":{"thickness":"900mm"}}`:                                  "job.thickness",
		`{"job":{"edge":"2m"}}`:                                          "job.edge",
		`{"job":{"temperature":"90C"}}`:                                  "job.temperature",
		`{"job":{"pot_life":"2000min"}}`:                                 "job.pot_life",
		`{"job":{"variation":"300mm"}}`:                                  "job.variation",
		`{"job":{"allowance":"400%"}}`:                                   "job.allowance",
		`{"job":{"kind":"soft"}}`:                                        "job.kind",
		`{"job":{"material":"wood"}}`:                                    "job.material",
		`{"job":{"place":"roof"}}`:                                       "job.place",
		`{"job":{"units":"ells"}}`:                                       "job.units",
		`{"job":{"clock":"cuckoo"}}`:                                     "job.clock",
	} {
		var f shown
		decode(t, a.bytes(422, "PATCH", "/api/panels/"+s.ID+"/settings", body), &f)
		assert.Equal(t, field, f.Field, body)
		assert.NotEmpty(t, f.What)
		assert.NotEmpty(t, f.Next, body)
	}
	for _, body := range []string{
		`{"mark":"paint","radius":3,"points":[[9,9]]}`, `{"mark":"gap","radius":0,"points":[[9,9]]}`, `{"mark":"gap","radius":-1,"points":[[9,9]]}`,
		`{"mark":"gap","radius":9000,"points":[[9,9]]}`, `{"mark":"gap","radius":3,"points":[]}`, `{"mark":"gap","radius":3,"points":[[9,1e9]]}`,
		`{"mark":"tile","radius":3,"points":[` + strings.Repeat("[9,9],", 5000) + `[9,9]]}`,
	} {
		a.bytes(422, "POST", "/api/panels/"+s.ID+"/strokes", body)
	}
	assert.Equal(t, before, everything(t, folder))
	after := a.state(200, "GET", "/api/panels/"+s.ID, "")
	assert.Equal(t, s.Settings, after.Settings)
	assert.Equal(t, s.Revision, after.Revision)
}

// Every answer forbids the browser what the page doesn't need.
func TestHeaders(t *testing.T) {
	a, _, s := settledPage(t)
	for _, path := range []string{"/", "/assets/api.js", "/api/panels", "/api/panels/" + s.ID, "/api/panels/" + s.ID + "/pictures/photo", "/nothing", "/api/nothing"} {
		reply := a.do("GET", path, nil, "")
		reply.Body.Close()
		h := reply.Header
		assert.Equal(t, policy, h.Get("Content-Security-Policy"), path)
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "no-referrer", h.Get("Referrer-Policy"), path)
		assert.Equal(t, "same-origin", h.Get("Cross-Origin-Resource-Policy"), path)
		assert.Equal(t, "no-store", h.Get("Cache-Control"), path)
		assert.Empty(t, h.Get("Access-Control-Allow-Origin"), path)
		assert.Empty(t, h.Get("Set-Cookie"), path)
		assert.NotEmpty(t, h.Get("Content-Type"), path)
	}
}

// The secret is long, new each time, and only in the part of the address that
// browsers keep to themselves.
func TestSecret(t *testing.T) {
	a, b := serve(t, t.TempDir()), serve(t, t.TempDir())
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/#[0-9a-f]{32}$`, a.s.Address(""))
	assert.NotEqual(t, a.s.secret, b.s.secret)
}
