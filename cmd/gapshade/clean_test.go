package main

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"html"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/photo"
)

// What a phone writes into a photo and nobody wants to hand on. Each stands in
// the file in its own place, as letters that occur nowhere else.
var secrets = map[string]string{
	"camera":     "SecretPhoneModel9",
	"serial":     "SN-QX7731-SECRET",
	"owner":      "Secretina Owner",
	"maker note": "MAKERNOTE-secret-blob",
	"place":      "\x00\x00\x00\x2f\x00\x00\x00\x01\x00\x00\x00\x16\x00\x00\x00\x01\x00\x00\x11\x5c\x00\x00\x00\x64", // 47° 22′ 44.44″
	"place name": "SECRETPLACE",
	"thumbnail":  "THUMBNAIL-secret-pixels",
	"xmp":        "xmp-secret-document-id",
	"comment":    "secret comment of the app",
	"date":       "2026:05:04 10:11:12",
	"folder":     "secretuser",
}

// tag is one entry of a directory; text goes where the entry points to.
type tag struct {
	id, kind uint16
	text     string
}

// directory lays one out at a place of the block, the texts behind it, and gives
// its bytes (CIPA DC-008, 4.6.2: big-endian).
func directory(at int, next uint32, tags ...tag) []byte {
	var head, body []byte
	head = binary.BigEndian.AppendUint16(head, uint16(len(tags)))
	from := at + 2 + 12*len(tags) + 4
	for _, t := range tags {
		head = binary.BigEndian.AppendUint16(head, t.id)
		head = binary.BigEndian.AppendUint16(head, t.kind)
		count := len(t.text)
		switch t.kind {
		case 5:
			count /= 8
		case 4:
			count = 1
		}
		head = binary.BigEndian.AppendUint32(head, uint32(count))
		if len(t.text) <= 4 {
			head = append(head, (t.text + "\x00\x00\x00\x00")[:4]...)
			continue
		}
		head = binary.BigEndian.AppendUint32(head, uint32(from+len(body)))
		body = append(body, t.text...)
	}
	return append(binary.BigEndian.AppendUint32(head, next), body...)
}

func offset(n int) string { return string(binary.BigEndian.AppendUint32(nil, uint32(n))) }

// tellingExif has all that a phone tells: main directory, EXIF, GPS, thumbnail.
func tellingExif() []byte {
	const exifAt, gpsAt, thumbAt = 400, 1000, 1400
	block := make([]byte, 1800)
	copy(block, "MM\x00*\x00\x00\x00\x08")
	copy(block[8:], directory(8, thumbAt,
		tag{0x0110, 2, secrets["camera"]}, tag{0x0132, 2, secrets["date"]}, tag{0x013b, 2, secrets["owner"]},
		tag{0x8769, 4, offset(exifAt)}, tag{0x8825, 4, offset(gpsAt)}))
	copy(block[exifAt:], directory(exifAt, 0,
		tag{0x9003, 2, secrets["date"]}, tag{0x927c, 7, secrets["maker note"]}, tag{0xa430, 2, secrets["owner"]}, tag{0xa431, 2, secrets["serial"]}))
	copy(block[gpsAt:], directory(gpsAt, 0,
		tag{1, 2, "N\x00"}, tag{2, 5, secrets["place"]}, tag{0x1b, 7, secrets["place name"]}))
	copy(block[thumbAt:], directory(thumbAt, 0, tag{0x0201, 4, offset(1600)}, tag{0x0202, 4, offset(64)}))
	copy(block[1600:], "\xff\xd8"+secrets["thumbnail"]+"\xff\xd9")
	return block
}

// tellingPhoto is the drawn layout as a JPEG that tells everything.
func tellingPhoto(t *testing.T) []byte {
	img, err := png.Decode(bytes.NewReader(drawnLayout()))
	require.NoError(t, err)
	var plain bytes.Buffer
	require.NoError(t, jpeg.Encode(&plain, img, &jpeg.Options{Quality: 95}))
	out := bytes.Clone(plain.Bytes()[:2])
	for _, s := range []struct {
		marker byte
		body   string
	}{
		{0xe1, "Exif\x00\x00" + string(tellingExif())},
		{0xe1, "http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta><rdf:li>" + secrets["xmp"] + "</rdf:li></x:xmpmeta>"},
		{0xed, "Photoshop 3.0\x00" + secrets["place name"]},
		{0xfe, secrets["comment"]},
	} {
		out = append(out, 0xff, s.marker)
		out = binary.BigEndian.AppendUint16(out, uint16(len(s.body)+2))
		out = append(out, s.body...)
	}
	out = append(out, plain.Bytes()[2:]...)
	for name, s := range secrets {
		require.True(t, name == "folder" || bytes.Contains(out, []byte(s)), "the photo holds the %s", name)
	}
	return out
}

// Nothing that the photo or the machine tells about its owner gets into any
// file: camera, serial, owner, maker note, place, date, thumbnail, XMP, comment,
// the way to the file. Pictures inside the page are looked at as well. The name
// is one that a browser of another system might hand over, path and all.
func TestOutputsAreClean(t *testing.T) {
	t.Parallel()
	folder := filepath.Join(t.TempDir(), secrets["folder"])
	require.NoError(t, os.Mkdir(folder, 0o755))
	path := filepath.Join(folder, `C:\Users\`+secrets["folder"]+`\layout.jpg`)
	if filepath.Separator == '\\' {
		path = filepath.Join(folder, "layout.jpg")
	}
	require.NoError(t, os.WriteFile(path, tellingPhoto(t), 0o644))
	out := filepath.Join(folder, "out")
	code, said, complained := call(t.Context(), "preview", path, "--out", out, "--shades", "near-white,mid-true", "--straighten", "--json")
	require.Zero(t, code, complained)
	clean(t, "stdout", []byte(said))
	files := below(t, out)
	require.GreaterOrEqual(t, len(files), 10)
	inside := 0
	for _, name := range files {
		b, err := os.ReadFile(filepath.Join(out, name))
		require.NoError(t, err)
		clean(t, name, b)
		switch filepath.Ext(name) {
		case ".jpg":
			tagged(t, name, b)
		case ".png":
			chunks(t, name, b, strings.HasPrefix(name, "merged-"))
		case ".html":
			for _, m := range regexp.MustCompile(`data:image/(jpeg|png);base64,([A-Za-z0-9+/=]+)`).FindAllSubmatch([]byte(html.UnescapeString(string(b))), -1) {
				inside++
				picture, err := base64.StdEncoding.DecodeString(string(m[2]))
				require.NoError(t, err)
				clean(t, "picture inside "+name, picture)
				if string(m[1]) == "jpeg" {
					tagged(t, "picture inside "+name, picture)
				} else {
					chunks(t, "picture inside "+name, picture, true)
				}
			}
		}
	}
	assert.GreaterOrEqual(t, inside, 5, "sheet, two previews, two maps")
}

func clean(t *testing.T, name string, b []byte) {
	t.Helper()
	for what, s := range secrets {
		assert.False(t, bytes.Contains(b, []byte(s)), "%s gives away the %s", name, what)
	}
}

// tagged walks a JPEG's segments up to the picture: an sRGB profile, and none of
// APP1 (EXIF, XMP), APP13 or comment.
func tagged(t *testing.T, name string, b []byte) {
	t.Helper()
	profile := false
	for i := 2; i+4 <= len(b) && b[i] == 0xff && b[i+1] != 0xda; i += 2 + int(binary.BigEndian.Uint16(b[i+2:])) {
		body := b[i+4 : i+2+int(binary.BigEndian.Uint16(b[i+2:]))]
		switch m := b[i+1]; {
		case m == 0xe2 && bytes.HasPrefix(body, []byte("ICC_PROFILE\x00\x01\x01")):
			profile = true
		case m == 0xfe, m >= 0xe1 && m <= 0xef:
			assert.Fail(t, "unexpected segment", "%s carries %#x", name, m)
		}
	}
	assert.True(t, profile, "%s carries a profile", name)
	ph, err := photo.Open(t.Context(), "out.jpg", bytes.NewReader(b), photo.Limits{})
	require.NoError(t, err, name)
	assert.Regexp(t, "^sRGB", ph.Profile, name)
	assert.Empty(t, ph.Notes, "%s: the profile is read, not assumed", name)
}

// chunks walks a PNG's chunks: only those that a picture needs, and the sRGB one
// where it shows colours.
func chunks(t *testing.T, name string, b []byte, colour bool) {
	t.Helper()
	srgb := false
	for i := 8; i+12 <= len(b); i += 12 + int(binary.BigEndian.Uint32(b[i:])) {
		kind := string(b[i+4 : i+8])
		assert.Contains(t, []string{"IHDR", "PLTE", "IDAT", "IEND", "sRGB", "gAMA", "pHYs"}, kind, name)
		srgb = srgb || kind == "sRGB"
	}
	assert.True(t, srgb || !colour, "%s says that it is sRGB", name)
}
