package photo

import (
	"bytes"
	"context"
	"errors"
	"image"

	"golang.org/x/image/tiff"
)

// isTIFF matches TIFF, BigTIFF, and the raw formats that changed the magic
// number of TIFF and nothing else.
func isTIFF(b []byte) bool {
	for _, magic := range []string{"II*\x00", "MM\x00*", "II+\x00", "MM\x00+", "IIU\x00", "IIRO", "MMOR"} {
		if bytes.HasPrefix(b, []byte(magic)) {
			return true
		}
	}
	return false
}

// tiffHeader reads the first directory (TIFF 6.0 §2): size, orientation,
// profile. Camera raw files are TIFF inside; their marks are looked for first,
// as decoding one would give its thumbnail.
func tiffHeader(b []byte) (*header, *Error) {
	if b[2] == '+' || b[3] == '+' {
		return nil, unsupported("it is a BigTIFF, a rare kind that is not read", nextExport)
	}
	d, first, ok := newIFD(b)
	if !ok || string(b[8:min(10, len(b))]) == "CR" {
		return nil, unsupported("it is a camera raw file", nextDevelop)
	}
	t := &tiffWalk{h: &header{}, d: d}
	if !d.each(first, t.entry) {
		return nil, unreadable("its TIFF directory is damaged")
	}
	if t.raw || t.preview && t.more {
		return nil, unsupported("it is a camera raw file", nextDevelop)
	}
	t.finish(first)
	return t.h, nil
}

// tiffWalk is what is gathered from entry to entry. raw is a sure mark of a
// camera raw file; preview and more together are another: a reduced copy
// first, and further directories behind it.
type tiffWalk struct {
	h                  *header
	d                  *ifd
	raw, preview, more bool
	exif               bool
	packing, bits      int64 // compression (tag 259), bits per pixel
}

// entry uses one directory entry.
func (t *tiffWalk) entry(tag, kind, count int, v []byte) {
	n := t.d.number(kind, count, v)
	switch tag {
	case 254: // NewSubfileType, bit 0: a reduced copy
		t.preview = n&1 != 0 && n > 0
	case 256:
		t.h.w = n
	case 257:
		t.h.h = n
	case 258: // BitsPerSample: one number per channel, only the first of more is needed
		t.bits = int64(count) * t.sample(kind, count, v)
	case 259:
		t.packing = int64(n)
	case 262: // PhotometricInterpretation
		t.raw = t.raw || n == 32803 || n == 34892
		t.h.grey = n == 0 || n == 1
		if n == 5 {
			t.h.cmyk = true
		}
	case 274:
		t.h.turn = n
	case 330: // SubIFDs
		t.more = true
	case 34665:
		t.exif = true
	case 34675:
		t.h.icc = t.bytes(count, v)
	case 50706: // DNGVersion
		t.raw = true
	}
	t.weigh(tag, kind, count)
}

// weigh counts what is no picture: everything but the strip and tile tables,
// the palette and the codec's own tables.
func (t *tiffWalk) weigh(tag, kind, count int) {
	switch tag {
	case 273, 279, 320, 324, 325, 347, 519, 520, 521:
		return
	}
	sizes := [...]int64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
	if kind < len(sizes) && count > 0 {
		// A count may lie; more than the file holds cannot be there.
		t.h.metadata += min(sizes[kind]*int64(count), int64(len(t.d.b)))
	}
}

// sample reads the first number of BitsPerSample, wherever it lies.
func (t *tiffWalk) sample(kind, count int, v []byte) int64 {
	if kind != 3 || count < 1 || count > 16 {
		return 0
	}
	if count > 2 {
		off := int(t.d.order.Uint32(v))
		if off+2 > len(t.d.b) {
			return 0
		}
		v = t.d.b[off:]
	}
	return int64(t.d.order.Uint16(v))
}

// least is the smallest file for that many pixels under the stated packing:
// none; PackBits, 128 bytes in 2; LZW, whose 12-bit codes stand for up to 4096
// bytes; deflate, 1032 to 1. Fax codes have no bound that helps.
func (t *tiffWalk) least() int64 {
	if t.h.w <= 0 || t.h.h <= 0 || t.h.w > unlimited>>20 || t.h.h > unlimited>>20 {
		return 0 // refused for its size
	}
	raw := int64(t.h.w) * int64(t.h.h) * t.bits / 8
	switch t.packing {
	case 0, 1:
		return raw
	case 32773:
		return raw / 64
	case 5:
		return raw / 2731
	case 8, 32946:
		return raw / 1032
	}
	return 0
}

// bytes gives the value of a long entry, here the profile.
func (t *tiffWalk) bytes(count int, v []byte) []byte {
	off := int(t.d.order.Uint32(v))
	if count < 5 || off > len(t.d.b) || count > len(t.d.b)-off {
		t.h.broken = true
		return nil
	}
	return t.d.b[off : off+count]
}

// finish judges the orientation and looks for more pages. EXIF inside TIFF
// hangs on the same structure, so the whole file serves as the EXIF block.
func (t *tiffWalk) finish(first int) {
	t.h.atLeast = t.least()
	if t.exif {
		t.h.exif = t.d.b
	}
	if t.h.turn < 0 || t.h.turn > 8 {
		t.h.turn = 1
		t.h.note("orientation-unknown", "the photo's note on which way is up is damaged; it is taken as upright")
	}
	if t.h.turn == 0 {
		t.h.turn = 1
	}
	n := int(t.d.order.Uint16(t.d.b[first:]))
	if at := first + 2 + 12*n; at+4 <= len(t.d.b) && t.d.order.Uint32(t.d.b[at:]) != 0 {
		t.h.note("pages", "the TIFF holds more than one picture; the first is used")
	}
}

// decodeTIFF calls the decoder, the one with the longest list of past
// memory faults; size, place and number of bytes were checked before.
func decodeTIFF(ctx context.Context, b []byte, h *header) (image.Image, error) {
	img, err := tiff.Decode(&patientFile{patientReader{ctx, bytes.NewReader(b)}, b})
	var u tiff.UnsupportedError
	if errors.As(err, &u) {
		return nil, unsupported("it is a TIFF of a rare kind that is not read", nextExport)
	}
	return img, err
}

// patientFile is a patientReader that can be read at any place, as TIFF asks;
// without it the decoder would copy the whole file.
type patientFile struct {
	patientReader
	b []byte
}

// ReadAt asks the context first.
func (p *patientFile) ReadAt(to []byte, off int64) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return bytes.NewReader(p.b).ReadAt(to, off)
}
