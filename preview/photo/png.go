package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"

	"gapshade/colormath/icc"
)

// maxProfile bounds an inflated colour profile; real ones stay below 1 MB.
const maxProfile = 4 << 20

// pngHeader walks the chunks (W3C PNG, third edition).
func pngHeader(b []byte) (*header, *Error) {
	p := &pngWalk{h: &header{}}
	for at := 8; at+12 <= len(b); {
		n, kind := int(binary.BigEndian.Uint32(b[at:])), string(b[at+4:at+8])
		if n > len(b)-at-12 {
			if kind == "IDAT" { // cut inside the picture: the decoder will say so
				break
			}
			return nil, unreadable("it ends early; a PNG chunk is cut off")
		}
		if refusal := p.chunk(kind, b[at+8:at+8+n], at == 8); refusal != nil {
			return nil, refusal
		}
		if kind == "IEND" {
			break
		}
		at += 12 + n
	}
	if p.h.w == 0 && !p.seen {
		return nil, unreadable("it ends early; there is no picture in this PNG")
	}
	return p.finish(), nil
}

// pngWalk is what is gathered from chunk to chunk.
type pngWalk struct {
	h        *header
	seen     bool // IHDR
	exponent float64
	xy       *[8]float64
}

// chunk uses one chunk; first tells that it must be IHDR.
func (p *pngWalk) chunk(kind string, c []byte, first bool) *Error {
	if kind == "CgBI" {
		return unsupported("it is a PNG of a private kind found inside phone apps", nextExport)
	}
	if first {
		return p.size(kind, c)
	}
	switch kind {
	case "IDAT", "PLTE", "fdAT": // the picture itself
		return nil
	}
	p.h.metadata += int64(len(c))
	switch kind {
	case "iCCP":
		p.profile(c)
	case "cICP":
		if len(c) == 4 {
			p.h.points = &codePoints{int(c[0]), int(c[1]), int(c[2]), c[3] != 0}
		}
	case "sRGB":
		p.h.stated = true
	case "gAMA":
		if len(c) == 4 {
			p.exponent = 1e5 / float64(max(1, binary.BigEndian.Uint32(c)))
		}
	case "cHRM":
		p.chromaticities(c)
	case "eXIf":
		p.h.exif = c
	case "acTL":
		p.h.note("animation", "the picture is animated; its first frame is used")
	}
	return nil
}

// size reads IHDR, PNG §11.2.1. Depth and colour type are left to the decoder.
func (p *pngWalk) size(kind string, c []byte) *Error {
	if kind != "IHDR" || len(c) != 13 {
		return unreadable("its PNG header is damaged")
	}
	w, h := binary.BigEndian.Uint32(c), binary.BigEndian.Uint32(c[4:])
	if w > 1<<31-1 || h > 1<<31-1 {
		return unreadable("its PNG header is damaged")
	}
	p.h.w, p.h.h, p.seen = int(w), int(h), true
	p.h.atLeast = pngLeast(w, h, c[8], c[9])
	p.h.grey = c[9] == 0 || c[9] == 4 // colour types without colour
	return nil
}

// pngLeast: deflate packs at most 1032 : 1 (its longest match, 258 bytes, takes
// two bits), so that many bytes at least must be there.
func pngLeast(w, h uint32, depth, colour byte) int64 {
	channels := map[byte]int64{0: 1, 2: 3, 3: 1, 4: 2, 6: 4}[colour]
	return (int64(w)*channels*int64(depth) + 7) / 8 * int64(h) / 1032
}

// profile inflates iCCP: a name, a zero byte, the method (0), zlib data. The
// bound keeps a small chunk from becoming a large one.
func (p *pngWalk) profile(c []byte) {
	i := bytes.IndexByte(c, 0)
	if i < 0 || i+2 > len(c) || p.h.icc != nil {
		return
	}
	z, err := zlib.NewReader(bytes.NewReader(c[i+2:]))
	if err == nil {
		var data []byte
		data, err = io.ReadAll(io.LimitReader(z, maxProfile+1))
		if err == nil && len(data) <= maxProfile {
			p.h.icc = data
			return
		}
	}
	p.h.broken = true
}

// chromaticities reads cHRM, PNG §11.3.2.1: white, red, green, blue in units
// of 1/100,000.
func (p *pngWalk) chromaticities(c []byte) {
	if len(c) != 32 {
		return
	}
	p.xy = &[8]float64{}
	for i := range p.xy {
		p.xy[i] = float64(binary.BigEndian.Uint32(c[4*i:])) / 1e5
	}
}

// finish turns gAMA and cHRM into a profile. They count only when nothing
// better is there (PNG §4.3); see space.go.
func (p *pngWalk) finish() *header {
	if p.exponent == 0 {
		return p.h
	}
	// 45455 is how sRGB's curve is written in a gAMA chunk.
	if near(p.exponent, 2.2, 0.005) && (p.xy == nil || srgbLike(*p.xy)) {
		return p.h
	}
	if p.xy != nil {
		p.h.gamma, _ = icc.Chromaticities(*p.xy, p.exponent)
	} else {
		p.h.gamma, _ = icc.Gamma(p.exponent)
	}
	return p.h
}

// srgbLike tells whether cHRM only repeats the primaries of sRGB, give or take
// the rounding of its writers.
func srgbLike(xy [8]float64) bool {
	want := [8]float64{0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06}
	for i := range want {
		if !near(xy[i], want[i], 0.002) {
			return false
		}
	}
	return true
}

func near(a, b, tolerance float64) bool { return a-b <= tolerance && b-a <= tolerance }
