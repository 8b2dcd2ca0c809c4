package photo

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outcome is what must come of a malformed or odd file.
type outcome int

const (
	isRead outcome = iota // legal, or harmless: read, and the pixels are there
	isUnreadable
	isUnsupported
	isOverLimit
	isEither // read or refused, both are sound; never a panic
)

// oddity is one case of the corpus.
type oddity struct {
	name string
	b    []byte
	want outcome
}

// corpus is every case; the makers stand in the other malformed_ files.
func corpus(t testing.TB) (all []oddity) {
	all = append(all, notPhotos()...)
	all = append(all, oddJPEGs(t)...)
	all = append(all, oddPNGs(t)...)
	all = append(all, oddTIFFs()...)
	all = append(all, oddWebPs(t)...)
	all = append(all, oddBMPs(t)...)
	return append(all, oddHEIFs(t)...)
}

// Every case ends in a sentence or a picture, within two seconds and, where
// refused, without asking for 300 MB in all.
func TestMalformed(t *testing.T) {
	open(t, fixture(t, "panel.heic")) // the HEIC decoder sets itself up once, not on the clock here
	all := corpus(t)
	require.GreaterOrEqual(t, len(all), 60)
	seen := map[string]bool{}
	for _, c := range all {
		require.False(t, seen[c.name], "two cases are called %q", c.name)
		seen[c.name] = true
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		p, err := Open(t.Context(), "dir/odd", bytes.NewReader(c.b), Limits{})
		runtime.ReadMemStats(&after)
		took := time.Since(start)
		checkOutcome(t, c, p, err)
		if err != nil {
			assert.Less(t, took, 2*time.Second, c.name)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(300e6), c.name)
			t.Logf("%-40s %v", c.name, err)
		}
	}
}

func checkOutcome(t *testing.T, c oddity, p *Photo, err error) {
	t.Helper()
	if err == nil {
		assert.Contains(t, []outcome{isRead, isEither}, c.want, "%s was read", c.name)
		assert.Len(t, p.Picture.Pix, 3*p.W*p.H, c.name)
		assert.Len(t, p.RGBA().Pix, 4*p.W*p.H, c.name)
		return
	}
	var e *Error
	require.ErrorAs(t, err, &e, c.name)
	if c.want != isEither {
		kinds := map[outcome]Kind{isUnreadable: Unreadable, isUnsupported: Unsupported, isOverLimit: OverLimit}
		k, refused := kinds[c.want]
		assert.True(t, refused, "%s should be read: %v", c.name, err)
		assert.Equal(t, k, e.Kind, "%s: %v", c.name, err)
	}
	checkSentence(t, c.name, e)
}

// checkSentence holds an error to the house rules: one short sentence, lower
// case, no full stop, no words of the machine, and a hint beside it.
func checkSentence(t *testing.T, name string, e *Error) {
	t.Helper()
	s := e.Error()
	assert.True(t, strings.HasPrefix(s, "odd: "), "%s: %q names the photo without its folder", name, s)
	assert.Less(t, len(s), 140, name)
	assert.False(t, strings.HasSuffix(s, "."), name)
	assert.NotEmpty(t, e.Next, name)
	for _, bad := range []string{"\n", "%!", "0x", "runtime", "goroutine", "image:", "png:", "tiff:", "invalid format", "EOF", "nil"} {
		assert.NotContains(t, s, bad, name)
	}
}

// A net with a hole would show here: whatever a decoder throws, Open answers.
func TestDecoderPanicBecomesAnError(t *testing.T) {
	f := format{name: "png", title: "PNG"} // calling it panics
	_, err := guardDecode(t.Context(), f, nil, &header{w: 1, h: 1})
	var e *Error
	require.True(t, errors.As(err, &e))
	assert.Equal(t, Unreadable, e.Kind)
	_, refusal := guardHeader(f, nil)
	require.NotNil(t, refusal)
}

func cut(b []byte, share float64) []byte { return b[:int(float64(len(b))*share)] }

// noisy overwrites everything from an offset on with fixed noise.
func noisy(b []byte, from int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	out := append([]byte(nil), b...)
	for i := from; i < len(out); i++ {
		out[i] = byte(r.Uint32())
	}
	return out
}

func notPhotos() []oddity {
	tiffRaw := func(tags ...tiffTag) []byte {
		return tiffOf(make([]byte, 3), append(tags, long(256, 1), long(257, 1), long(273, 0))...)
	}
	ftyp := func(major string) []byte { return makeBox("ftyp", []byte(major+"\x00\x00\x00\x00"+major)) }
	return []oddity{
		{"empty file", nil, isUnreadable},
		{"one byte", []byte{7}, isUnreadable},
		{"zeros", make([]byte, 4096), isUnreadable},
		{"noise", noisy(make([]byte, 4096), 0), isUnreadable},
		{"text", []byte("list of tiles\n12 blue\n30 white\n"), isUnsupported},
		{"web page", []byte("<!DOCTYPE html><html><body>photo</body></html>"), isUnsupported},
		{"svg with a script", []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>`), isUnsupported},
		{"pdf", []byte("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"), isUnsupported},
		{"zip", []byte("PK\x03\x04 and more"), isUnsupported},
		{"gif claiming 65535²", []byte("GIF89a\xff\xff\xff\xff\x00\x00\x00,\x00\x00\x00\x00\xff\xff\xff\xff\x00\x02\x02D\x01\x00;"), isUnsupported},
		{"avif", ftyp("avif"), isUnsupported},
		{"mp4 video", ftyp("mp42"), isUnsupported},
		{"quicktime video", ftyp("qt  "), isUnsupported},
		{"matroska video", []byte("\x1aE\xdf\xa3\x01\x00\x00\x00"), isUnsupported},
		{"avi video", []byte("RIFF\x00\x00\x00\x00AVI LIST"), isUnsupported},
		{"jpeg 2000", []byte("\x00\x00\x00\x0cjP  \r\n\x87\n"), isUnsupported},
		{"jpeg xl", []byte("\xff\x0a\x00\x00"), isUnsupported},
		{"raw by its own magic", []byte("FUJIFILMCCD-RAW 0201"), isUnsupported},
		{"raw in boxes", ftyp("crx "), isUnsupported},
		{"raw: two letters behind the TIFF header", join([]byte("II*\x00\x10\x00\x00\x00CR\x02\x00"), make([]byte, 40)), isUnsupported},
		{"raw: digital negative", tiffRaw(tiffTag{tag: 50706, kind: 1, count: 4, value: 4}), isUnsupported},
		{"raw: sensor mosaic", tiffRaw(short(262, 32803)), isUnsupported},
		{"raw: thumbnail first", tiffRaw(long(254, 1), long(330, 8)), isUnsupported},
		{"portable pixmap", []byte("P6\n1 1\n255\n\x00\x00\x00"), isUnsupported},
		{"layered editing file", []byte("8BPS\x00\x01"), isUnsupported},
	}
}
