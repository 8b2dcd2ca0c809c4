package photo

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// stranger is a format that is known by name and refused.
type stranger struct {
	match func(b []byte) bool
	why   string
	next  string
}

const (
	nextDevelop = "develop it in the camera's own program and export a JPEG or TIFF"
	nextShot    = "take a screenshot or export the page as PNG, and check that no edge is missing"
	nextStill   = "take a still photo of the layout"
)

// strangers, most telling first. Camera raw files are mostly TIFF inside, so
// only those with a mark of their own are listed here; the rest are told by
// the TIFF reader.
func strangers() []stranger {
	return []stranger{
		{begins("GIF8"), "it is a GIF, which has only 256 colours", "use the photo as the camera made it"},
		{begins("%PDF"), "it is a PDF document, not a photo", nextShot},
		{begins("%!PS"), "it is a PostScript document, not a photo", nextShot},
		{begins("8BPS"), "it is a layered editing file", nextExport},
		{begins("gimp xcf"), "it is a layered editing file", nextExport},
		{begins("\x00\x00\x00\x0cjP  "), "it is a JPEG 2000 photo, which is not read", nextExport},
		{begins("\xff\x4f\xff\x51"), "it is a JPEG 2000 photo, which is not read", nextExport},
		{begins("\x00\x00\x00\x0cJXL "), "it is a JPEG XL photo, which is not read", nextExport},
		{begins("\xff\x0a"), "it is a JPEG XL photo, which is not read", nextExport},
		{begins("v/1\x01"), "it is an OpenEXR picture, which is not read", nextExport},
		{begins("#?RADIANCE"), "it is a Radiance picture, which is not read", nextExport},
		{begins("FUJIFILMCCD-RAW"), "it is a camera raw file", nextDevelop},
		{begins("FOVb"), "it is a camera raw file", nextDevelop},
		{begins("IIRO"), "it is a camera raw file", nextDevelop},
		{begins("IIRS"), "it is a camera raw file", nextDevelop},
		{begins("MMOR"), "it is a camera raw file", nextDevelop},
		{begins("IIU\x00"), "it is a camera raw file", nextDevelop},
		{begins("\x00MRM"), "it is a camera raw file", nextDevelop},
		{begins("II\x1a\x00\x00\x00HEAPCCDR"), "it is a camera raw file", nextDevelop},
		{brand("crx "), "it is a camera raw file", nextDevelop},
		{brand("avif", "avis"), "it is an AVIF photo, which is not read", nextExport},
		{brand("mp41", "mp42", "isom", "iso2", "iso4", "iso5", "iso6", "avc1", "qt  ", "M4V ", "3gp4", "3gp5", "3gp6", "3g2a", "dash", "MSNV"),
			"it is a video", nextStill},
		{begins("\x1aE\xdf\xa3"), "it is a video", nextStill},
		{isAVI, "it is a video", nextStill},
		{begins("\x00\x00\x01\xba"), "it is a video", nextStill},
		{begins("\x00\x00\x01\xb3"), "it is a video", nextStill},
		{begins("PK\x03\x04"), "it is a ZIP archive or an office document", "unpack it and use the photo inside"},
		{begins("\x1f\x8b"), "it is a compressed archive", "unpack it and use the photo inside"},
		{begins("7z\xbc\xaf"), "it is a compressed archive", "unpack it and use the photo inside"},
		{markup("<svg"), "it is an SVG drawing, not a photo", "export it as PNG from a drawing program"},
		{markup("<html", "<!doctype html"), "it is a web page, not a photo", "save the picture itself, not the page that shows it"},
		{isPNM, "it is a PNM picture, which is not read", nextExport},
		{isText, "it is text, not a photo", nextPick},
	}
}

// strange names what the file is, as well as can be told.
func strange(b []byte) *Error {
	for _, s := range strangers() {
		if s.match(b) {
			return unsupported(s.why, s.next)
		}
	}
	e := unreadable("it is no photo format known here")
	e.Next = nextPick
	return e
}

// brand matches the major brand of an ISO base media file
// (ISO/IEC 14496-12 §4.3).
func brand(names ...string) func([]byte) bool {
	return func(b []byte) bool {
		if len(b) < 12 || string(b[4:8]) != "ftyp" {
			return false
		}
		for _, n := range names {
			if string(b[8:12]) == n {
				return true
			}
		}
		return false
	}
}

// isAVI matches the RIFF form type of films.
func isAVI(b []byte) bool {
	return len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "AVI "
}

// isPNM matches the portable maps, P1 to P7.
func isPNM(b []byte) bool {
	return len(b) > 2 && b[0] == 'P' && b[1] >= '1' && b[1] <= '7' && (b[2] == '\n' || b[2] == ' ')
}

// markup looks for a tag near the start, past declarations and comments.
func markup(tags ...string) func([]byte) bool {
	return func(b []byte) bool {
		head := strings.ToLower(string(b[:min(len(b), 4096)]))
		if !strings.HasPrefix(strings.TrimLeft(head, "\ufeff \t\r\n"), "<") {
			return false
		}
		for _, t := range tags {
			if strings.Contains(head, t) {
				return true
			}
		}
		return false
	}
}

// isText is the last guess: readable characters and no zero byte.
func isText(b []byte) bool {
	head := b[:min(len(b), 512)]
	return len(b) > 3 && !bytes.ContainsRune(head, 0) && utf8.Valid(head[:len(head)-len(head)%4])
}
