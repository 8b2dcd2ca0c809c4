package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/jpeg"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// The helpers here write what the readers read, and share no code with them.

func be16(v int) []byte { return binary.BigEndian.AppendUint16(nil, uint16(v)) }
func be32(v int) []byte { return binary.BigEndian.AppendUint32(nil, uint32(v)) }
func le32(v int) []byte { return binary.LittleEndian.AppendUint32(nil, uint32(v)) }

func join(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

// exifEntry is one directory entry of a SHORT.
type exifEntry struct{ tag, kind, count, value int }

// exifBlock is a big-endian TIFF structure with one directory.
func exifBlock(es ...exifEntry) []byte {
	b := join([]byte("MM\x00*"), be32(8), be16(len(es)))
	for _, e := range es {
		v := be32(e.value)
		if e.kind == 3 {
			v = append(be16(e.value), 0, 0)
		}
		b = join(b, be16(e.tag), be16(e.kind), be32(e.count), v)
	}
	return append(b, 0, 0, 0, 0)
}

func turnedExif(o int) []byte { return exifBlock(exifEntry{274, 3, 1, o}) }

// segment is a JPEG marker segment.
func segment(marker byte, body []byte) []byte {
	return join([]byte{0xff, marker}, be16(len(body)+2), body)
}

// withSegments puts segments behind the start marker.
func withSegments(jpg []byte, segs ...[]byte) []byte {
	return join(jpg[:2], join(segs...), jpg[2:])
}

func exifSegment(block []byte) []byte { return segment(0xe1, join([]byte("Exif\x00\x00"), block)) }

// iccSegments splits a profile into pieces and hands them out in the order
// given, to show that the order does not matter.
func iccSegments(profile []byte, order ...int) [][]byte {
	size := (len(profile) + len(order) - 1) / len(order)
	var out [][]byte
	for _, n := range order {
		piece := profile[(n-1)*size : min(n*size, len(profile))]
		out = append(out, segment(0xe2, join([]byte("ICC_PROFILE\x00"), []byte{byte(n), byte(len(order))}, piece)))
	}
	return out
}

func jpegBytes(t testing.TB, img image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}))
	return b.Bytes()
}

// chunk is a PNG chunk.
func chunk(kind string, body []byte) []byte {
	b := join([]byte(kind), body)
	return join(be32(len(body)), b, be32(int(crc32.ChecksumIEEE(b))))
}

// withChunks puts chunks behind IHDR.
func withChunks(pngFile []byte, chunks ...[]byte) []byte {
	const ihdrEnd = 8 + 25
	return join(pngFile[:ihdrEnd], join(chunks...), pngFile[ihdrEnd:])
}

func iccChunk(profile []byte) []byte {
	return chunk("iCCP", join([]byte("any\x00\x00"), deflated(profile)))
}

func deflated(b []byte) []byte {
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	w.Write(b)
	w.Close()
	return z.Bytes()
}

// webpFile is an extended WebP (RFC 9649 §2.7) round the picture chunk of a
// plain one.
func webpFile(plain []byte, w, h int, extra ...[]byte) []byte {
	flags := byte(0)
	for _, e := range extra {
		switch string(e[:4]) {
		case "ICCP":
			flags |= 0x20
		case "EXIF":
			flags |= 0x08
		}
	}
	canvas := join([]byte{flags, 0, 0, 0}, le32(w - 1)[:3], le32(h - 1)[:3])
	body := join([]byte("WEBP"), riffChunk("VP8X", canvas))
	picture := plain[12:]
	for _, e := range extra { // the profile comes before the picture, EXIF after
		if string(e[:4]) == "ICCP" {
			body = join(body, e)
		} else {
			picture = join(picture, e)
		}
	}
	body = join(body, picture)
	return join([]byte("RIFF"), le32(len(body)), body)
}

func riffChunk(kind string, body []byte) []byte {
	b := join([]byte(kind), le32(len(body)), body)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

// p3Profile is a version 4 profile of Display P3: colorants under D50 by SMPTE
// EG 432-1, the sRGB curve as parameters of type 3.
func p3Profile() []byte {
	fix := func(v float64) []byte { return be32(int(int32(math.Round(v * 65536)))) }
	xyz := func(x, y, z float64) []byte {
		return join([]byte("XYZ \x00\x00\x00\x00"), fix(x), fix(y), fix(z))
	}
	curve := join([]byte("para\x00\x00\x00\x00\x00\x03\x00\x00"),
		fix(2.4), fix(1/1.055), fix(0.055/1.055), fix(1/12.92), fix(0.04045))
	name := []byte("desc\x00\x00\x00\x00\x00\x00\x00\x0bDisplay P3\x00\x00")
	return iccProfile("RGB ", map[string][]byte{
		"desc": name,
		"rXYZ": xyz(0.5151187, 0.2411892, -0.0010505),
		"gXYZ": xyz(0.2919778, 0.6922441, 0.0418791),
		"bXYZ": xyz(0.1571035, 0.0665668, 0.7840713),
		"rTRC": curve, "gTRC": curve, "bTRC": curve,
	}, "desc", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC")
}

// iccProfile lays elements out as ICC.1:2022 §7 says.
func iccProfile(space string, elements map[string][]byte, order ...string) []byte {
	b := make([]byte, 128)
	b[8] = 4
	copy(b[12:], "mntr"+space+"XYZ ")
	copy(b[36:], "acsp")
	copy(b[68:], join(be32(0xf6d6), be32(0x10000), be32(0xd32d))) // D50
	b = join(b, be32(len(order)))
	at := len(b) + 12*len(order)
	var body []byte
	for _, tag := range order {
		e := elements[tag]
		b = join(b, []byte(tag), be32(at+len(body)), be32(len(e)))
		body = join(body, e, make([]byte, -len(e)&3))
	}
	b = join(b, body)
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	return b
}

// toP3 gives the codes that show the same colours when read as Display P3.
// Matrix: linear sRGB to linear Display P3, from the primaries of both (the
// product of the published matrices to and from XYZ).
func toP3(img *image.RGBA) *image.RGBA {
	out := image.NewRGBA(img.Rect)
	m := [3][3]float64{
		{0.8224619688, 0.1775380312, 0},
		{0.0331941989, 0.9668058011, 0},
		{0.0170826307, 0.0723974407, 0.9105199286},
	}
	for i := 0; i < len(img.Pix); i += 4 {
		r, g, b := colormath.Decode8(img.Pix[i]), colormath.Decode8(img.Pix[i+1]), colormath.Decode8(img.Pix[i+2])
		for c := range 3 {
			v := m[c][0]*float64(r) + m[c][1]*float64(g) + m[c][2]*float64(b)
			out.Pix[i+c] = colormath.Encode8(float32(v))
		}
		out.Pix[i+3] = 255
	}
	return out
}
