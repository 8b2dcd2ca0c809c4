package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"

	"github.com/gen2brain/heic"
)

// isHEIF matches the brands of still pictures in HEVC, and the general brands
// whose content must be looked at (ISO/IEC 23008-12 §10).
func isHEIF(b []byte) bool {
	return brand("heic", "heix", "heim", "heis", "hevc", "hevx", "hevm", "hevs", "mif1", "mif2", "msf1")(b)
}

// heifHeader reads the boxes. The decoder's own header reader is not used: it
// sees 32 KB only and fails on good files with much metadata.
func heifHeader(b []byte) (*header, *Error) {
	top, ok := boxes(b)
	if count(top, "meta") > 1 {
		// Which one counts is for the decoder to choose, and the gate could
		// have looked at the other.
		return nil, unreadable("it is damaged; the HEIC has two lists of contents")
	}
	meta := find(top, "meta").body
	if meta == nil {
		if find(top, "moov").body != nil {
			return nil, unsupported("it is a burst of pictures, not a single photo", nextStill)
		}
		return nil, unreadable("it ends early; there is no picture in this HEIC")
	}
	if !ok {
		return nil, unreadable("it ends early; a HEIC box is cut off")
	}
	m := readMeta(b, meta)
	h := &header{metadata: int64(len(meta))}
	if refusal := m.checkKind(); refusal != nil {
		return nil, refusal
	}
	if h.w, h.h = m.size(m.primary); h.w <= 0 || h.h <= 0 {
		return nil, unreadable("it is damaged; the HEIC does not state its size")
	}
	m.properties(h)
	m.parts(h)
	m.exif(h)
	return h, nil
}

// checkKind refuses main pictures that are not HEVC by the name of what they
// are. A derived picture is judged by its first part.
func (m *heifMeta) checkKind() *Error {
	item := m.primary
	for range 4 {
		switch m.kinds[item] {
		case "hvc1", "hev1":
			return nil
		case "av01":
			return unsupported("it is an AVIF photo, which is not read", nextExport)
		case "grid", "iden", "iovl", "tmap":
			if len(m.derived[item]) > 0 {
				item = m.derived[item][0]
				continue
			}
		}
		break
	}
	if m.kinds[item] == "" {
		return unreadable("it is damaged; the HEIC names no main picture")
	}
	return unsupported("it is a HEIF file with a rare kind of picture inside", nextExport)
}

// properties reads what is said about the main picture: turn, crop, colour.
// The decoder turns and mirrors (irot, imir) by itself; here they only tell
// which side is which. EXIF orientation is not applied on top of that.
func (m *heifMeta) properties(h *header) {
	h.turn = 1
	for _, p := range m.of(m.primary) {
		switch p.kind {
		case "irot":
			if len(p.body) >= 1 && p.body[0]&1 == 1 {
				h.w, h.h = h.h, h.w
			}
		case "clap":
			h.cropped = true
		case "colr":
			heifColour(h, p.body)
		}
	}
	// A grid may say its colour on the parts only.
	for _, part := range m.firstPart() {
		for _, p := range m.of(part) {
			if p.kind == "colr" {
				heifColour(h, p.body)
			}
		}
	}
	m.settle(h)
}

// settle sorts two questions apart that one box answers: how code values
// become R'G'B' (the container's word wins over the bitstream's), and which
// colours those are (an embedded profile wins, as it is the finer statement;
// phones write it, and encoders add a box of defaults beside it).
func (m *heifMeta) settle(h *header) {
	h.coding = h.points
	if h.coding == nil {
		for _, item := range append([]uint64{m.primary}, m.firstPart()...) {
			if s := m.stream(item); s.coding != nil {
				h.coding = s.coding
			}
		}
	}
	if h.points = h.coding; h.icc != nil || h.points != nil && h.points.primaries == 2 {
		h.points = nil
	}
}

// firstPart is the first picture that the main one is put together from, if
// it is.
func (m *heifMeta) firstPart() []uint64 {
	parts := m.derived[m.primary]
	return parts[:min(len(parts), 1)]
}

// heifColour reads a colr box, ISO/IEC 14496-12 §12.1.5; the first of each
// kind counts.
func heifColour(h *header, b []byte) {
	if len(b) < 4 {
		return
	}
	switch string(b[:4]) {
	case "prof", "rICC":
		if h.icc == nil {
			h.icc = b[4:]
			h.metadata += int64(len(b))
		}
	case "nclx":
		if h.points == nil && len(b) >= 11 {
			u := func(i int) int { return int(binary.BigEndian.Uint16(b[i:])) }
			h.points = &codePoints{u(4), u(6), u(8), b[10]&0x80 != 0}
		}
	}
}

// parts sums what the decoder will have to decode: a grid of few pixels could
// be put together from thousands of large parts, and a part could say that it
// is small while its stream is not.
func (m *heifMeta) parts(h *header) {
	items := m.derived[m.primary]
	if len(items) == 0 {
		items = []uint64{m.primary}
	}
	for _, item := range items {
		w, y := m.size(item)
		s := m.stream(item)
		h.work += max(float64(w)*float64(y), float64(s.w)*float64(s.h))
	}
}

// exif finds the EXIF block (only its colour space will count) and weighs
// everything that is no picture.
func (m *heifMeta) exif(h *header) {
	for id, kind := range m.kinds {
		switch kind {
		case "Exif", "mime", "uri ":
			for _, e := range m.extents[id] {
				h.metadata += int64(min(e.size, 1<<40))
			}
		}
		if kind != "Exif" {
			continue
		}
		// The item starts with the offset of the TIFF structure behind it,
		// ISO/IEC 23008-12 annex A.2.1.
		if d := m.data(id, 1<<20); len(d) > 4 {
			if skip := uint64(binary.BigEndian.Uint32(d)); 4+skip < uint64(len(d)) {
				h.exif = d[4+skip:]
			}
		}
	}
}

// decodeHEIF decodes, then applies matrix and range itself: the decoder hands
// over plain Y'CbCr whatever the file says about it. Where the file says
// nothing it is BT.601 in full range (ISO/IEC 23000-22, MIAF, §7.3.6.4).
func decodeHEIF(ctx context.Context, b []byte, h *header) (image.Image, error) {
	img, err := heic.Decode(&patientReader{ctx, bytes.NewReader(b)})
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		e := unreadable("it is damaged, or of a rare kind of HEIC that is not read")
		e.Next, e.Err = nextExport, err
		return nil, e
	}
	if heic.Dynamic() == nil {
		h.note("system-decoder", "a HEIC library of this system decoded the photo; another system may give slightly other colours")
	}
	matrix, full := 5, true
	if h.coding != nil {
		matrix, full = h.coding.matrix, h.coding.full
	}
	if h.cropped && img.Bounds().Dx()*img.Bounds().Dy() <= h.w*h.h {
		h.w, h.h = img.Bounds().Dx(), img.Bounds().Dy()
	}
	mendFirst(img)
	t := newYCC(matrix, full)
	switch p := img.(type) {
	case *image.YCbCr:
		return t.rgba(p, 0), nil
	case *image.Gray:
		t.grey(p)
		h.grey = true
	}
	return img, nil
}

// mended is the number of samples at the start that the decoder spoils: it
// gives its memory free before the picture is copied out, and the allocator
// writes its own notes over the first bytes (24 seen, 32 leaves room).
const mended = 32

// mendFirst puts the samples of the row below in their place. The first pixels
// of a photo lie in a corner, outside the panel; what matters is that no
// coloured specks appear there.
func mendFirst(img image.Image) {
	switch p := img.(type) {
	case *image.YCbCr:
		mendRow(p.Y, p.YStride, p.Rect.Dx(), p.Rect.Dy())
	case *image.Gray:
		mendRow(p.Pix, p.Stride, p.Rect.Dx(), p.Rect.Dy())
	case *image.NRGBA:
		mendRow(p.Pix, p.Stride, 4*p.Rect.Dx(), p.Rect.Dy())
	case *image.RGBA:
		mendRow(p.Pix, p.Stride, 4*p.Rect.Dx(), p.Rect.Dy())
	}
}

// mendRow works on one plane; a system library does not spoil anything.
func mendRow(pix []uint8, stride, w, h int) {
	if heic.Dynamic() != nil && h > 1 {
		copy(pix[:min(mended, w)], pix[stride:])
	}
}
