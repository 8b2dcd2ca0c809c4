package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"

	"golang.org/x/image/bmp"
)

// bmpHeader reads the file header (14 bytes) and the info header behind it.
func bmpHeader(b []byte) (*header, *Error) {
	if len(b) < 54 {
		return nil, unreadable("it ends early; the BMP header is cut off")
	}
	size := int64(binary.LittleEndian.Uint32(b[14:]))
	if size < 40 || size > 124 {
		return nil, unsupported("it is a BMP of a rare kind that is not read", nextExport)
	}
	// A negative height is legal and means top row first.
	w, y := int64(int32(binary.LittleEndian.Uint32(b[18:]))), int64(int32(binary.LittleEndian.Uint32(b[22:])))
	if y < 0 {
		y = -y
	}
	h := &header{w: int(w), h: int(y)}
	bits, packing := binary.LittleEndian.Uint16(b[28:]), binary.LittleEndian.Uint32(b[30:])
	// 0 plain, 3 and 6 with channel masks; the rest are run lengths or worse.
	if bits != 8 && bits != 24 && bits != 32 || packing != 0 && packing != 3 && packing != 6 {
		return nil, unsupported("it is a BMP of a rare kind that is not read", nextExport)
	}
	h.atLeast = (w*int64(bits)/8 + 3) / 4 * 4 * y
	if size == 124 {
		bmpSpace(h, b)
	}
	return h, nil
}

// bmpSpace reads the colour space of a version 5 header: "sRGB", or a profile
// embedded in the file.
func bmpSpace(h *header, b []byte) {
	if len(b) < 14+124 {
		return
	}
	switch binary.LittleEndian.Uint32(b[14+56:]) {
	case 0x73524742: // 'sRGB'
		h.stated = true
	case 0x4d424544: // 'MBED'
		off, n := uint64(binary.LittleEndian.Uint32(b[14+112:]))+14, uint64(binary.LittleEndian.Uint32(b[14+116:]))
		if off+n <= uint64(len(b)) {
			h.icc = b[off : off+n]
			h.metadata = int64(n)
		}
	}
}

// decodeBMP leaves the decoder's few refusals in our words.
func decodeBMP(ctx context.Context, b []byte, h *header) (image.Image, error) {
	img, err := bmp.Decode(&patientReader{ctx, bytes.NewReader(b)})
	if err == bmp.ErrUnsupported {
		return nil, unsupported("it is a BMP of a rare kind that is not read", nextExport)
	}
	if p, ok := img.(*image.NRGBA); ok {
		fillAlpha(p)
	}
	return img, err
}

// fillAlpha makes a picture opaque whose alpha is 0 everywhere: many programs
// leave the fourth byte empty.
func fillAlpha(p *image.NRGBA) {
	for i := 3; i < len(p.Pix); i += 4 {
		if p.Pix[i] != 0 {
			return
		}
	}
	for i := 3; i < len(p.Pix); i += 4 {
		p.Pix[i] = 255
	}
}
