package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"

	"golang.org/x/image/webp"
)

// isWebP matches the RIFF form type, RFC 9649 §2.3.
func isWebP(b []byte) bool {
	return len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP"
}

// webpHeader walks the RIFF chunks (RFC 9649 §2): size, profile, EXIF.
func webpHeader(b []byte) (*header, *Error) {
	h := &header{}
	for at := 12; at+8 <= len(b); {
		kind, n := string(b[at:at+4]), int(binary.LittleEndian.Uint32(b[at+4:]))
		body := b[at+8:]
		if n > len(body) {
			if kind != "VP8 " && kind != "VP8L" || h.w == 0 && len(body) < 10 {
				return nil, unreadable("it ends early; a WebP chunk is cut off")
			}
			n = len(body) // cut inside the picture: the decoder will say so
		}
		if refusal := webpChunk(h, kind, body[:n]); refusal != nil {
			return nil, refusal
		}
		at += 8 + n + n&1
	}
	if h.w == 0 {
		return nil, unreadable("it ends early; there is no picture in this WebP")
	}
	return h, nil
}

// webpChunk uses one chunk.
func webpChunk(h *header, kind string, c []byte) *Error {
	switch kind {
	case "VP8 ", "VP8L":
		// The decoder takes the first picture, so a second one must not
		// change what the gate sees.
		if h.w == 0 {
			return webpSize(h, kind, c)
		}
	case "VP8X":
		if len(c) >= 10 && c[0]&0x02 != 0 {
			return unsupported("it is an animated WebP", nextStill)
		}
	case "ANIM", "ANMF":
		return unsupported("it is an animated WebP", nextStill)
	case "ALPH":
	default:
		h.metadata += int64(len(c))
		webpMeta(h, kind, c)
	}
	return nil
}

// webpSize reads the size from the start of the picture data. The canvas size
// of the extended header is not asked: it may differ, and decides nothing.
func webpSize(h *header, kind string, c []byte) *Error {
	switch kind {
	case "VP8 ":
		// Frame tag (3 bytes), start code, two sides of 14 bits: RFC 6386 §9.1.
		if len(c) < 10 || string(c[3:6]) != "\x9d\x01\x2a" {
			return unreadable("its WebP picture header is damaged")
		}
		h.w, h.h = int(binary.LittleEndian.Uint16(c[6:])&0x3fff), int(binary.LittleEndian.Uint16(c[8:])&0x3fff)
	case "VP8L":
		// Signature, then two sides less one of 14 bits: RFC 9649 §3.4.
		if len(c) < 5 || c[0] != 0x2f {
			return unreadable("its WebP picture header is damaged")
		}
		v := binary.LittleEndian.Uint32(c[1:])
		h.w, h.h = int(v&0x3fff)+1, int(v>>14&0x3fff)+1
	}
	return nil
}

// webpMeta keeps profile and EXIF; the first of each counts. XMP is not read:
// what it could add (orientation again) contradicts EXIF as often as not.
func webpMeta(h *header, kind string, c []byte) {
	switch {
	case kind == "ICCP" && h.icc == nil:
		h.icc = c
	case kind == "EXIF" && h.exif == nil:
		// Some writers keep JPEG's prefix.
		h.exif = bytes.TrimPrefix(c, []byte("Exif\x00\x00"))
	}
}

// decodeWebP repairs what the decoder leaves out: lossy WebP stores BT.601 in
// limited range (RFC 6386 §9.2), and its numbers arrive as if they were full
// range, black as 16 and white as 235. Lossless WebP is plain RGB.
func decodeWebP(ctx context.Context, b []byte, h *header) (image.Image, error) {
	img, err := webp.Decode(&patientReader{ctx, bytes.NewReader(b)})
	if err != nil {
		return nil, err
	}
	t := newYCC(5, false)
	switch p := img.(type) {
	case *image.YCbCr:
		return t.rgba(p, 0), nil
	case *image.NYCbCrA:
		rgb := t.rgba(&p.YCbCr, 0)
		out := &image.NRGBA{Pix: rgb.Pix, Stride: rgb.Stride, Rect: rgb.Rect}
		for y := range out.Rect.Dy() {
			for x := range out.Rect.Dx() {
				out.Pix[y*out.Stride+4*x+3] = p.A[y*p.AStride+x]
			}
		}
		return out, nil
	}
	return img, nil
}
