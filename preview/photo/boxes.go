package photo

import "encoding/binary"

// box is one box of an ISO base media file (ISO/IEC 14496-12 §4.2), read in
// place. Numbers that lead outside give empty slices, never a panic.
type box struct {
	kind string
	body []byte
}

// maxBoxes bounds the boxes of one level; HEIF photos of phones stay below
// two hundred, whole items included.
const maxBoxes = 20_000

// boxes splits one level. A last box may have size 0, "up to the end"; ok is
// false when sizes do not add up.
func boxes(b []byte) (out []box, ok bool) {
	for len(b) >= 8 && len(out) < maxBoxes {
		size, head := uint64(binary.BigEndian.Uint32(b)), 8
		switch size {
		case 0:
			size = uint64(len(b))
		case 1:
			if len(b) < 16 {
				return out, false
			}
			size, head = binary.BigEndian.Uint64(b[8:]), 16
		}
		if size < uint64(head) || size > uint64(len(b)) {
			return out, false
		}
		out = append(out, box{string(b[4:8]), b[head:size]})
		b = b[size:]
	}
	return out, len(b) < 8
}

// find gives the first box of a kind, an empty one when there is none.
func find(list []box, kind string) box {
	for _, x := range list {
		if x.kind == kind {
			return x
		}
	}
	return box{}
}

// count tells how often a kind of box is there.
func count(list []box, kind string) (n int) {
	for _, x := range list {
		if x.kind == kind {
			n++
		}
	}
	return n
}

// fields reads numbers one after another; beyond the end they are 0 and ok
// turns false.
type fields struct {
	b  []byte
	ok bool
}

// newFields starts reading at the start of b.
func newFields(b []byte) *fields { return &fields{b, true} }

// full reads version and flags of a full box.
func (f *fields) full() (version int, flags uint32) {
	v := f.uint(4)
	return int(v >> 24), uint32(v & 0xffffff)
}

// uint reads n bytes, 0 ≤ n ≤ 8.
func (f *fields) uint(n int) (v uint64) {
	if len(f.b) < n {
		f.b, f.ok = nil, false
		return 0
	}
	for _, c := range f.b[:n] {
		v = v<<8 | uint64(c)
	}
	f.b = f.b[n:]
	return v
}

// text reads a string that ends in a zero byte.
func (f *fields) text() string {
	for i, c := range f.b {
		if c == 0 {
			s := string(f.b[:i])
			f.b = f.b[i+1:]
			return s
		}
	}
	s := string(f.b)
	f.b = nil
	return s
}
