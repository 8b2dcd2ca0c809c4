package photo

import "encoding/binary"

// exifFacts is what matters here of an EXIF block. Everything else, places
// and serial numbers above all, is not even looked at.
type exifFacts struct {
	orientation int  // tag 274; 0 = not there
	colourSpace int  // tag 40961: 1 sRGB, 65535 uncalibrated; 0 = not there
	interopR03  bool // interoperability index "R03": Adobe RGB
	broken      bool // the structure did not hold together
}

// maxEntries bounds one directory; the format allows 65,535, cameras write
// fewer than a hundred.
const maxEntries = 1000

// ifd is a TIFF structure (TIFF 6.0 §2; CIPA DC-008 §4.6.2) read in place.
type ifd struct {
	b     []byte
	order binary.ByteOrder
}

// newIFD checks the header; it returns the reader and the place of the first
// directory.
func newIFD(b []byte) (*ifd, int, bool) {
	if len(b) < 8 {
		return nil, 0, false
	}
	d := &ifd{b: b}
	switch string(b[:4]) {
	case "II*\x00":
		d.order = binary.LittleEndian
	case "MM\x00*":
		d.order = binary.BigEndian
	default:
		return nil, 0, false
	}
	return d, int(d.order.Uint32(b[4:])), true
}

// each calls use with every whole entry of the directory at off. It reports
// whether the directory held together. Following no further directory keeps
// loops impossible.
func (d *ifd) each(off int, use func(tag, kind, count int, value []byte)) bool {
	if off < 8 || off+2 > len(d.b) {
		return false
	}
	n := int(d.order.Uint16(d.b[off:]))
	if n > maxEntries {
		return false
	}
	off += 2
	for range n {
		if off+12 > len(d.b) {
			return false
		}
		e := d.b[off : off+12]
		use(int(d.order.Uint16(e)), int(d.order.Uint16(e[2:])), int(d.order.Uint32(e[4:])), e[8:12])
		off += 12
	}
	return true
}

// number reads a lone SHORT or LONG value; −1 when it is neither.
func (d *ifd) number(kind, count int, v []byte) int {
	switch {
	case kind == 3 && count == 1:
		return int(d.order.Uint16(v))
	case kind == 4 && count == 1:
		return int(d.order.Uint32(v))
	}
	return -1
}

// readExif reads orientation and colour space; it never fails, it reports
// broken.
func readExif(b []byte) (x exifFacts) {
	if b == nil {
		return x
	}
	d, first, ok := newIFD(b)
	if !ok {
		x.broken = true
		return x
	}
	sub := 0
	ok = d.each(first, func(tag, kind, count int, v []byte) {
		switch tag {
		case 274:
			x.orientation = d.number(kind, count, v)
		case 34665:
			sub = d.number(kind, count, v)
		}
	})
	if x.orientation > 8 || x.orientation < 0 {
		x.orientation, ok = 0, false
	}
	x.broken = !ok
	if sub > 0 {
		d.colour(sub, &x)
	}
	return x
}

// colour reads the EXIF directory (tag 40961) and, below it, the
// interoperability index (tag 1). Damage here only costs the answer.
func (d *ifd) colour(off int, x *exifFacts) {
	interop := 0
	d.each(off, func(tag, kind, count int, v []byte) {
		switch tag {
		case 40961:
			x.colourSpace = max(0, d.number(kind, count, v))
		case 40965:
			interop = d.number(kind, count, v)
		}
	})
	if interop > 0 {
		d.each(interop, func(tag, kind, count int, v []byte) {
			x.interopR03 = x.interopR03 || tag == 1 && kind == 2 && string(v[:3]) == "R03"
		})
	}
}
