package sheet

import (
	"encoding/binary"
	"unicode/utf16"
)

// srgbProfile builds the ICC profile that says "these bytes are sRGB": a
// matrix/TRC display profile of a few hundred bytes, version 4 because only
// there the exact curve fits in 32 bytes (a version 2 table of the same
// accuracy takes 2 KB in every picture). A reader that knows no version 4
// ignores it and assumes sRGB, which is right.
//
// Layout: ICC.1:2010 (profile version 4.3), section 7 (header, tag table) and
// section 10 (tag types).
func srgbProfile() []byte {
	tags := []iccTag{
		{"desc", mluc("sRGB")},
		{"cprt", mluc("CC0")},
		{"wtpt", xyzType(d50)},
		{"chad", sf32(bradfordD65toD50[:])},
		{"rXYZ", xyzType(srgbColumns[0])},
		{"gXYZ", xyzType(srgbColumns[1])},
		{"bXYZ", xyzType(srgbColumns[2])},
		{"rTRC", para(srgbCurve[:])},
	}
	return assemble(tags)
}

// The numbers below are s15Fixed16 (value × 65,536, rounded).
var (
	// ICC.1:2010 7.2.16: the connection space's white, .9642 1 .8249.
	d50 = [3]int32{63190, 65536, 54061}

	// IEC 61966-2-1 primaries (.64 .33, .30 .60, .15 .06) and white (.3127
	// .3290), taken to D50 by the Bradford transform. Blue's Z is rounded up by
	// one step so that the columns add up to d50 exactly and greys stay grey.
	srgbColumns = [3][3]int32{
		{28576, 14581, 912},
		{25239, 46983, 6361},
		{9375, 3972, 46788},
	}

	// Bradford cone responses (Lam 1985), white .3127 .3290 → d50, row by row.
	bradfordD65toD50 = [9]int32{
		68674, 1502, -3291,
		1939, 64912, -1119,
		-606, 988, 49262,
	}

	// IEC 61966-2-1: g 2.4, a 1/1.055, b .055/1.055, c 1/12.92, d .04045.
	srgbCurve = [5]int32{157286, 62119, 3417, 5072, 2651}
)

type iccTag struct {
	sig  string
	data []byte
}

// assemble writes header, tag table and tag data. gTRC and bTRC point at the
// data of rTRC, as 7.3.1 allows.
func assemble(tags []iccTag) []byte {
	shared := []string{"gTRC", "bTRC"}
	table := 4 + 12*(len(tags)+len(shared))
	var head, data []byte
	head = binary.BigEndian.AppendUint32(head, uint32(len(tags)+len(shared)))
	entry := func(sig string, at, n int) {
		head = append(head, sig...)
		head = binary.BigEndian.AppendUint32(head, uint32(at))
		head = binary.BigEndian.AppendUint32(head, uint32(n))
	}
	for _, t := range tags {
		at := 128 + table + len(data)
		entry(t.sig, at, len(t.data))
		if t.sig == "rTRC" {
			for _, s := range shared {
				entry(s, at, len(t.data))
			}
		}
		data = append(data, t.data...)
		for len(data)%4 != 0 {
			data = append(data, 0)
		}
	}
	size := 128 + table + len(data)
	return append(append(iccHeader(size), head...), data...)
}

// iccHeader is the 128-byte header (7.2). The date is that of the sRGB
// standard, because a profile made twice must be the same bytes.
func iccHeader(size int) []byte {
	h := make([]byte, 128)
	binary.BigEndian.PutUint32(h[0:], uint32(size))
	copy(h[8:], "\x04\x30\x00\x00mntrRGB XYZ ")
	for i, v := range []uint16{1999, 10, 1, 0, 0, 0} {
		binary.BigEndian.PutUint16(h[24+2*i:], v)
	}
	copy(h[36:], "acsp")
	for i, v := range d50 {
		binary.BigEndian.PutUint32(h[68+4*i:], uint32(v))
	}
	return h
}

// mluc is one English text (10.13).
func mluc(s string) []byte {
	text := utf16.Encode([]rune(s))
	b := append([]byte("mluc\x00\x00\x00\x00"), 0, 0, 0, 1, 0, 0, 0, 12)
	b = append(b, "enUS"...)
	b = binary.BigEndian.AppendUint32(b, uint32(2*len(text)))
	b = binary.BigEndian.AppendUint32(b, 28)
	for _, u := range text {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}

// xyzType is one colour (10.27).
func xyzType(v [3]int32) []byte { return fixedPoints("XYZ \x00\x00\x00\x00", v[:]) }

// sf32 is a list of numbers (10.18).
func sf32(v []int32) []byte { return fixedPoints("sf32\x00\x00\x00\x00", v) }

// para is a curve of type 3: (ax+b)^g from d on, cx below (10.15, table 65).
func para(v []int32) []byte { return fixedPoints("para\x00\x00\x00\x00\x00\x03\x00\x00", v) }

func fixedPoints(head string, v []int32) []byte {
	b := []byte(head)
	for _, n := range v {
		b = binary.BigEndian.AppendUint32(b, uint32(n))
	}
	return b
}
