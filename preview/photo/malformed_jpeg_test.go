package photo

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// jpegParts splits a JPEG into its segments up to the first scan, and the rest.
func jpegParts(t testing.TB, b []byte) (segs [][]byte, scan []byte) {
	t.Helper()
	at := 2
	for b[at+1] != 0xda {
		n := int(b[at+2])<<8 | int(b[at+3])
		segs = append(segs, b[at:at+2+n])
		at += 2 + n
		require.Less(t, at, len(b))
	}
	return segs, b[at:]
}

// without drops every segment of a marker.
func without(t testing.TB, b []byte, marker byte) []byte {
	segs, scan := jpegParts(t, b)
	out := []byte{0xff, 0xd8}
	for _, s := range segs {
		if s[1] != marker {
			out = join(out, s)
		}
	}
	return join(out, scan)
}

// framed changes the frame header: a copy with f called on its bytes, which
// start at the marker.
func framed(t testing.TB, b []byte, f func(sof []byte)) []byte {
	t.Helper()
	out := bytes.Clone(b)
	for _, m := range []byte{0xc0, 0xc2} {
		if i := bytes.Index(out, []byte{0xff, m, 0x00, 0x11, 8}); i > 0 {
			f(out[i:])
			return out
		}
	}
	require.Fail(t, "no frame header")
	return nil
}

// sized states another size in the frame header.
func sized(t testing.TB, b []byte, w, h int) []byte {
	return framed(t, b, func(s []byte) { copy(s[5:], join(be16(h), be16(w))) })
}

// scanBomb repeats the first refinement-free AC scan of a progressive JPEG:
// legal, small, and slow to decode.
func scanBomb(t testing.TB, times int) []byte {
	b := fixture(t, "panel-progressive.jpg")
	first := bytes.Index(b, []byte{0xff, 0xda})
	second := first + 2 + bytes.Index(b[first+2:], []byte{0xff, 0xda})
	third := skipScan(b, second+4)
	require.Greater(t, third, second)
	return join(b[:third], bytes.Repeat(b[second:third], times), b[third:])
}

func oddJPEGs(t testing.TB) []oddity {
	jpg := jpegBytes(t, panel(), 90)
	marker := func(m byte) []byte { return framed(t, jpg, func(s []byte) { s[1] = m }) }
	emptyScan := []byte{0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0}
	many := func(n, size int, m byte, head string) []byte {
		seg := segment(m, join([]byte(head), make([]byte, size)))
		return withSegments(jpg, bytes.Repeat(seg, n))
	}
	return append([]oddity{
		{"jpeg: start marker only", []byte{0xff, 0xd8}, isUnreadable},
		{"jpeg: start marker and fill bytes", bytes.Repeat([]byte{0xff, 0xd8, 0xff}, 900), isUnreadable},
		{"jpeg: cut at 10 %", cut(jpg, 0.1), isUnreadable},
		{"jpeg: cut at 50 %", cut(jpg, 0.5), isUnreadable},
		{"jpeg: cut at 99 %", cut(jpg, 0.99), isUnreadable},
		{"jpeg: no end marker", jpg[:len(jpg)-2], isRead},
		{"jpeg: rubbish behind the end", join(jpg, []byte("rubbish")), isRead},
		{"jpeg: zip behind the end", join(jpg, []byte("PK\x03\x04"), make([]byte, 100)), isRead},
		{"jpeg: second jpeg behind the end", join(jpg, jpg), isRead},
		{"jpeg: claims 65535²", sized(t, jpg, 65535, 65535), isOverLimit},
		{"jpeg: claims 29000²", sized(t, jpg, 29000, 29000), isOverLimit},
		{"jpeg: claims 10000²", sized(t, jpg, 10000, 10000), isUnreadable},
		{"jpeg: claims 0×0", sized(t, jpg, 0, 0), isUnreadable},
		{"jpeg: height 0", sized(t, jpg, panelW, 0), isUnreadable},
		{"jpeg: no huffman table", without(t, jpg, 0xc4), isUnreadable},
		{"jpeg: no quantisation table", without(t, jpg, 0xdb), isUnreadable},
		{"jpeg: no frame header", without(t, jpg, 0xc0), isUnreadable},
		{"jpeg: two frame headers", withSegments(jpg, segment(0xc0, []byte{8, 0, 8, 0, 8, 1, 1, 0x11, 0})), isUnreadable},
		{"jpeg: 12 bit", framed(t, jpg, func(s []byte) { s[4] = 12 }), isUnsupported},
		{"jpeg: arithmetic coding", marker(0xc9), isUnsupported},
		{"jpeg: lossless", marker(0xc3), isUnsupported},
		{"jpeg: hierarchical", marker(0xc5), isUnsupported},
		{"jpeg: 5 channels", framed(t, jpg, func(s []byte) { s[9] = 5 }), isUnreadable},
		{"jpeg: 2 channels", framed(t, jpg, func(s []byte) { s[9] = 2 }), isUnsupported},
		{"jpeg: sampling 0", framed(t, jpg, func(s []byte) { s[11] = 0 }), isUnreadable},
		{"jpeg: sampling 4×4", framed(t, jpg, func(s []byte) { s[11] = 0x44 }), isEither},
		{"jpeg: noise in the scan", noisy(jpg, len(jpg)*3/4), isEither},
		{"jpeg: noise in the header", noisy(jpg, 30), isUnreadable},
		{"jpeg: segment of length 1", withSegments(jpg, []byte{0xff, 0xe5, 0, 1}), isUnreadable},
		{"jpeg: 2000 empty scans", join(jpg[:len(jpg)-2], bytes.Repeat(emptyScan, 2000), jpg[len(jpg)-2:]), isOverLimit},
		{"jpeg: 60 scans", scanBomb(t, 50), isEither},
		{"jpeg: 1000 scans", scanBomb(t, 1000), isOverLimit},
		{"jpeg: 5000 scans", scanBomb(t, 5000), isOverLimit},
		{"jpeg: grey", jpegBytes(t, greyPixels(90), 90), isRead},
		{"jpeg: 13 MB of EXIF", many(200, 65000, 0xe1, "Exif\x00\x00"), isRead},
		{"jpeg: 20 MB of EXIF", many(300, 65000, 0xe1, "Exif\x00\x00"), isOverLimit},
		{"jpeg: 6 MB of comments", many(100, 65000, 0xfe, ""), isRead},
		{"jpeg: profile with missing pieces", withSegments(jpg, iccSegments(p3Profile(), 1, 2, 3)[1]), isRead},
		{"jpeg: profile piece 0 of 0", withSegments(jpg, segment(0xe2, []byte("ICC_PROFILE\x00\x00\x00xx"))), isRead},
	}, oddExif(jpg)...)
}

func oddExif(jpg []byte) (out []oddity) {
	for name, block := range map[string][]byte{
		"orientation 9":     turnedExif(9),
		"orientation 65535": turnedExif(65535),
		"count 2³²−1":       exifBlock(exifEntry{274, 3, 1<<32 - 1, 6}),
		"directory loop":    exifBlock(exifEntry{34665, 4, 1, 8}),
		"offset outside":    join([]byte("MM\x00*"), be32(1<<32-1)),
		"65,535 entries":    join([]byte("MM\x00*"), be32(8), be16(65535), make([]byte, 3000)),
	} {
		out = append(out, oddity{"exif: " + name, withSegments(jpg, exifSegment(block)), isRead})
	}
	return out
}
