package photo

import (
	"bytes"
	"encoding/binary"
)

// jpegHeader walks the marker segments (ITU-T T.81 annex B) up to the end
// marker: size, number of scans, EXIF, profile. Counting scans means stepping
// over the compressed data, about a millisecond per megabyte.
func jpegHeader(b []byte) (*header, *Error) {
	j := &jpegWalk{h: &header{}, b: b, chunks: map[int][]byte{}}
	for at := 2; at < len(b); {
		next, done, refusal := j.segment(at)
		if refusal != nil {
			return nil, refusal
		}
		if done {
			break
		}
		at = next
	}
	return j.finish()
}

// jpegWalk is what is gathered from segment to segment.
type jpegWalk struct {
	h       *header
	b       []byte
	chunks  map[int][]byte // ICC pieces by number
	pieces  int            // ICC pieces announced
	quant   [4]bool        // quantisation tables seen
	wants   []byte         // quantisation tables the frame asks for
	ended   bool
	badIcc  bool
	inFrame bool
}

// segment reads the marker at offset at and returns the offset of the next.
func (j *jpegWalk) segment(at int) (next int, done bool, refusal *Error) {
	b := j.b
	if b[at] != 0xff {
		// Rubbish between segments: decoders skip it, so does the gate.
		i := bytes.IndexByte(b[at:], 0xff)
		if i < 0 {
			return len(b), true, nil
		}
		return at + i, false, nil
	}
	// A file that stops between segments is judged by finish: with a scan in
	// it, all of the picture may still be there.
	if at+1 >= len(b) {
		return len(b), true, nil
	}
	m := b[at+1]
	switch {
	case m == 0xff: // fill byte
		return at + 1, false, nil
	case m == 0x00 || m == 0x01 || m >= 0xd0 && m <= 0xd8: // no length follows
		return at + 2, false, nil
	case m == 0xd9: // what follows is another picture or a film, not this photo
		j.ended = true
		return at + 2, true, nil
	}
	if at+4 > len(b) {
		return len(b), true, nil
	}
	n := int(binary.BigEndian.Uint16(b[at+2:]))
	end := at + 2 + n
	if n < 2 || end > len(b) {
		return 0, false, unreadable("it ends early or is damaged; the JPEG header does not add up")
	}
	refusal = j.take(m, b[at+4:end])
	if m == 0xda {
		end = skipScan(b, end)
	}
	return end, false, refusal
}

// skipScan steps over compressed data: to the next 0xff that is neither
// stuffed nor a restart marker.
func skipScan(b []byte, at int) int {
	for at < len(b) {
		i := bytes.IndexByte(b[at:], 0xff)
		if i < 0 || at+i+1 >= len(b) {
			return len(b)
		}
		at += i
		if m := b[at+1]; m != 0 && (m < 0xd0 || m > 0xd7) {
			return at
		}
		at += 2
	}
	return at
}

// take uses one segment's content.
func (j *jpegWalk) take(m byte, s []byte) *Error {
	switch {
	case m == 0xda:
		j.h.scans++
		return j.checkTables()
	case m == 0xdb:
		j.tables(s)
	case m >= 0xc0 && m <= 0xcf && m != 0xc4 && m != 0xc8 && m != 0xcc:
		return j.frame(m, s)
	case m >= 0xe0 && m <= 0xef || m == 0xfe:
		j.h.metadata += int64(len(s))
		j.application(m, s)
	}
	return nil
}

// frame reads the frame header, T.81 §B.2.2.
func (j *jpegWalk) frame(m byte, s []byte) *Error {
	switch m {
	case 0xc0, 0xc1, 0xc2:
	case 0xc3, 0xc7, 0xcb, 0xcf:
		return unsupported("it is a lossless JPEG, a rare kind that is not read", nextExport)
	case 0xc9, 0xca, 0xcd, 0xce:
		return unsupported("it is a JPEG with arithmetic coding, a rare kind that is not read", nextExport)
	default:
		return unsupported("it is a hierarchical JPEG, a rare kind that is not read", nextExport)
	}
	if len(s) < 6 || len(s) < 6+3*int(s[5]) {
		return unreadable("its JPEG frame header is damaged")
	}
	// A second frame could have another size than the one the gate saw.
	if j.inFrame {
		return unreadable("it has two JPEG frame headers")
	}
	j.inFrame = true
	if s[0] != 8 {
		return unsupported("it is a 12-bit JPEG, a rare kind that is not read", nextExport)
	}
	j.h.h, j.h.w = int(binary.BigEndian.Uint16(s[1:])), int(binary.BigEndian.Uint16(s[3:]))
	switch s[5] {
	case 1:
		j.h.grey = true
	case 3:
	case 4:
		j.h.cmyk = true
	default:
		return unsupported("it is a JPEG with an unusual number of colour channels", nextExport)
	}
	for i := range int(s[5]) {
		j.wants = append(j.wants, s[6+3*i+2])
	}
	return nil
}

// tables notes which quantisation tables exist, T.81 §B.2.4.1.
func (j *jpegWalk) tables(s []byte) {
	for len(s) > 0 {
		size := 65
		if s[0]>>4 != 0 {
			size = 129
		}
		if len(s) < size {
			return
		}
		j.quant[s[0]&3] = true
		s = s[size:]
	}
}

// checkTables refuses a frame without its quantisation tables: the decoder
// would take zeros and hand back rubbish without an error.
func (j *jpegWalk) checkTables() *Error {
	for _, t := range j.wants {
		if t > 3 || !j.quant[t] {
			return unreadable("it is damaged; a quantisation table is missing")
		}
	}
	return nil
}

// application reads EXIF (CIPA DC-008 §4.7) and ICC pieces (ICC.1 annex B.4).
func (j *jpegWalk) application(m byte, s []byte) {
	switch {
	case m == 0xe1 && bytes.HasPrefix(s, []byte("Exif\x00\x00")) && j.h.exif == nil:
		j.h.exif = s[6:]
	case m == 0xe2 && bytes.HasPrefix(s, []byte("ICC_PROFILE\x00")) && len(s) >= 14:
		n, of := int(s[12]), int(s[13])
		if j.pieces != 0 && of != j.pieces || n < 1 || n > of {
			j.badIcc = true
			return
		}
		j.pieces = of
		j.chunks[n] = s[14:]
	}
}

// finish puts the profile together and judges the whole.
func (j *jpegWalk) finish() (*header, *Error) {
	h := j.h
	// Every 8 × 8 block takes at least one bit.
	h.atLeast = int64(h.w) * int64(h.h) / (64 * 8)
	if !j.inFrame {
		return nil, unreadable("it ends early; there is no picture in this JPEG")
	}
	if h.scans == 0 {
		return nil, unreadable("it ends early; the JPEG holds a header but no picture")
	}
	if h.cutOff = !j.ended; h.cutOff {
		h.note("no-end-marker", "the JPEG has no end marker; it may have been cut off")
	}
	if h.cmyk {
		h.note("cmyk", "the photo is in printing inks (CMYK); its colours are an approximation")
	}
	if len(j.chunks) == 0 && !j.badIcc {
		return h, nil
	}
	// Pieces are numbered from 1 and may lie in any order.
	for i := 1; i <= j.pieces; i++ {
		if j.chunks[i] == nil {
			j.badIcc = true
		}
		h.icc = append(h.icc, j.chunks[i]...)
	}
	if h.broken = j.badIcc; j.badIcc {
		h.icc = nil
	}
	return h, nil
}
