package photo

import (
	"encoding/binary"
	"image"
	"slices"

	"gapshade/colormath"
)

// tiffTag is one entry of a little-endian TIFF directory that a test writes.
type tiffTag struct {
	tag, kind, count int
	value            int    // when it fits
	data             []byte // when it does not
}

func short(tag, v int) tiffTag { return tiffTag{tag: tag, kind: 3, count: 1, value: v} }
func long(tag, v int) tiffTag  { return tiffTag{tag: tag, kind: 4, count: 1, value: v} }

// tiffFile writes an uncompressed one-strip RGB TIFF of 8 or 16 bits.
func tiffFile(w, h, bits int, pix []byte, extra ...tiffTag) []byte {
	depth := binary.LittleEndian.AppendUint16(nil, uint16(bits))
	tags := []tiffTag{
		long(256, w), long(257, h), {tag: 258, kind: 3, count: 3, data: join(depth, depth, depth)},
		short(259, 1), short(262, 2), long(273, 0), short(277, 3), long(278, h), long(279, len(pix)),
	}
	return tiffOf(pix, append(tags, extra...)...)
}

// tiffOf writes any directory; tag 273 is filled with the place of pix.
func tiffOf(pix []byte, tags ...tiffTag) []byte {
	le := binary.LittleEndian
	slices.SortFunc(tags, func(a, b tiffTag) int { return a.tag - b.tag })
	b := join([]byte("II*\x00"), le32(8), le.AppendUint16(nil, uint16(len(tags))))
	at := 8 + 2 + 12*len(tags) + 4
	pixAt := at
	for _, t := range tags {
		pixAt += len(t.data) + len(t.data)&1
	}
	var body []byte
	for _, t := range tags {
		v := t.value
		switch {
		case t.tag == 273:
			v = pixAt
		case t.data != nil:
			v = at + len(body)
			body = join(body, t.data, make([]byte, len(t.data)&1))
		}
		b = join(b, le.AppendUint16(nil, uint16(t.tag)), le.AppendUint16(nil, uint16(t.kind)), le32(t.count), le32(v))
	}
	return join(b, le32(0), body, pix)
}

func rgb8(img *image.RGBA) (out []byte) {
	for i := 0; i < len(img.Pix); i += 4 {
		out = append(out, img.Pix[i:i+3]...)
	}
	return out
}

// rgb16 is the same colours in 16 bits, made in linear light and encoded anew
// rather than by repeating bytes.
func rgb16(img *image.RGBA) (out []byte) {
	for _, v := range rgb8(img) {
		out = binary.LittleEndian.AppendUint16(out, colormath.Encode16(colormath.Decode8(v)))
	}
	return out
}
