package photo

import (
	"bytes"
	"encoding/binary"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/bmp"
)

func oddTIFFs() []oddity {
	pix := rgb8(letters())
	good := tiffFile(3, 2, 8, pix)
	sides := func(w, h int) []byte { return tiffFile(w, h, 8, pix) }
	// 4 MB out of 2 bytes over and over: −127 and a byte, 128 times as long.
	packed := bytes.Repeat([]byte{0x81, 0}, 32768)
	bomb := tiffOf(packed, long(256, 2048), long(257, 2048), short(258, 8), short(259, 32773), short(262, 1),
		long(273, 0), short(277, 1), long(278, 2048), long(279, len(packed)))
	loop := bytes.Clone(good)
	binary.LittleEndian.PutUint32(loop[8+2+12*9:], 8)
	outside := bytes.Clone(good)
	binary.LittleEndian.PutUint32(outside[8+2+12*5+8:], 1<<31) // tag 273
	return []oddity{
		{"tiff: header only", good[:8], isUnreadable},
		{"tiff: first directory at 4 GB", []byte("II*\x00\xff\xff\xff\xffxxxxxxxx"), isUnreadable},
		{"tiff: directory that loops", loop, isRead},
		{"tiff: sides 2³²−1", sides(1<<32-1, 1<<32-1), isOverLimit},
		{"tiff: sides 0", sides(0, 0), isUnreadable},
		{"tiff: 10000² without the data", sides(10000, 10000), isUnreadable},
		{"tiff: strip outside the file", outside, isUnreadable},
		{"tiff: tiles of 2³¹", tiffFile(3, 2, 8, pix, long(322, 1<<31), long(323, 1<<31)), isUnreadable},
		{"tiff: 4 MB of packed zeros", bomb, isRead},
		{"tiff: BigTIFF", []byte("II+\x00\x08\x00\x00\x00\x10\x00\x00\x00\x00\x00\x00\x00"), isUnsupported},
		{"tiff: CMYK", tiffOf(make([]byte, 4), long(256, 1), long(257, 1), short(258, 8), short(259, 1), short(262, 5), long(273, 0), short(277, 4), long(279, 4)), isUnsupported},
		{"tiff: float samples", tiffFile(3, 2, 8, pix, short(339, 3)), isEither},
		{"tiff: orientation 70", tiffFile(3, 2, 8, pix, short(274, 70)), isRead},
		{"tiff: profile outside", tiffFile(3, 2, 8, pix, tiffTag{tag: 34675, kind: 7, count: 1 << 30, value: 8}), isRead},
		{"tiff: noise", noisy(good, 12), isUnreadable},
	}
}

func oddWebPs(t testing.TB) []oddity {
	lossy, lossless := fixture(t, "panel-lossy.webp"), fixture(t, "panel-lossless.webp")
	canvas := webpFile(lossless, 1<<24, 1<<24)
	vp8l := func(w, h int) []byte {
		v := uint32(w-1) | uint32(h-1)<<14
		body := join([]byte{0x2f}, le32(int(v)), make([]byte, 20))
		b := join([]byte("WEBP"), riffChunk("VP8L", body))
		return join([]byte("RIFF"), le32(len(b)), b)
	}
	animated := webpFile(lossless, panelW, panelH, riffChunk("ANMF", make([]byte, 16)))
	return []oddity{
		{"webp: header only", lossy[:12], isUnreadable},
		{"webp: cut at 50 %", cut(lossy, 0.5), isUnreadable},
		{"webp: lossless, cut at 50 %", cut(lossless, 0.5), isUnreadable},
		{"webp: canvas of 16 million", canvas, isEither},
		{"webp: lossless 16384²", vp8l(16384, 16384), isOverLimit},
		{"webp: lossless, noise", noisy(lossless, 30), isUnreadable},
		{"webp: lossy, noise in the header", noisy(lossy, 20), isUnreadable},
		{"webp: lossy, noise in the picture", noisy(lossy, 200), isEither},
		{"webp: small picture behind a large one", join([]byte("RIFF"), le32(4000), []byte("WEBP"), vp8l(16384, 16384)[12:], lossless[12:]), isOverLimit},
		{"webp: animated", animated, isUnsupported},
		{"webp: 20 MB of metadata", webpFile(lossless, panelW, panelH, riffChunk("XMP ", make([]byte, 20<<20))), isOverLimit},
	}
}

func oddBMPs(t testing.TB) []oddity {
	var b bytes.Buffer
	require.NoError(t, bmp.Encode(&b, letters()))
	good := b.Bytes()
	le := binary.LittleEndian
	sides := func(w, h int32) []byte {
		out := bytes.Clone(good)
		le.PutUint32(out[18:], uint32(w))
		le.PutUint32(out[22:], uint32(h))
		return out
	}
	depth := bytes.Clone(good)
	le.PutUint16(depth[28:], 4)
	packed := bytes.Clone(good)
	le.PutUint32(packed[30:], 1)
	return []oddity{
		{"bmp: header only", good[:30], isUnreadable},
		{"bmp: cut", good[:60], isUnreadable},
		{"bmp: negative height", sides(3, -2), isRead},
		{"bmp: sides of 2³¹", sides(-1<<31, -1<<31), isUnreadable},
		{"bmp: 60000²", sides(60000, 60000), isOverLimit},
		{"bmp: 10000² without the data", sides(10000, 10000), isUnreadable},
		{"bmp: 4 bit", depth, isUnsupported},
		{"bmp: run lengths", packed, isUnsupported},
		{"bmp: two letters and no more", []byte("BM"), isUnreadable},
	}
}

func oddHEIFs(t testing.TB) []oddity {
	good := rewrapped(t, "panel.heic")
	stream, record := coded(t, fixture(t, "panel.heic"))
	file := func(kind string, props ...[]byte) []byte {
		item := heifItem{id: 1, kind: kind, data: stream}
		for i := range props {
			item.props = append(item.props, i+1)
		}
		return heifFile(props, item)
	}
	size := bytes.Index(good, []byte("ispe")) + 8
	grid := gridFile(t, 2*panelW, 2*panelH)
	gridBomb := func() []byte { // 64 parts of 100 million pixels, shown as one of 4
		props := [][]byte{record, ispe(10000, 10000), ispe(2000, 2000)}
		items := []heifItem{{id: 1, kind: "grid", data: join([]byte{0, 0, 7, 7}, be16(2000), be16(2000)), props: []int{3}}}
		for range 64 {
			items[0].parts = append(items[0].parts, 2)
		}
		return heifFile(props, append(items, heifItem{id: 2, kind: "hvc1", data: stream, props: []int{1, 2}})...)
	}
	return []oddity{
		{"heic: first box only", good[:24], isUnreadable},
		{"heic: cut in half", cut(good, 0.5), isUnreadable},
		{"heic: sides of 4 G", patched(good, size, 1<<32-1), isOverLimit},
		{"heic: larger than it is", patched(good, size, 4000), isEither},
		{"heic: stream larger than it says", heifFile([][]byte{bigRecord(record), ispe(16, 16)}, heifItem{id: 1, kind: "hvc1", data: stream, props: []int{1, 2}}), isOverLimit},
		{"heic: two lists of contents", join(good, makeBox("meta", make([]byte, 4))), isUnreadable},
		{"heic: noise behind the header", noisy(good, 600), isEither},
		{"heic: noise", noisy(good, 40), isUnreadable},
		{"heic: no size", file("hvc1", record), isUnreadable},
		{"heic: no stream record", file("hvc1", ispe(panelW, panelH)), isUnreadable},
		{"heic: av1 inside", file("av01", record, ispe(panelW, panelH)), isUnsupported},
		{"heic: jpeg inside", file("jpeg", record, ispe(panelW, panelH)), isUnsupported},
		{"heic: grid without parts", file("grid", ispe(panelW, panelH)), isUnsupported},
		{"heic: grid that loops", heifFile([][]byte{ispe(64, 64)}, heifItem{id: 1, kind: "grid", props: []int{1}, parts: []int{1}}), isUnsupported},
		{"heic: grid bomb", gridBomb(), isOverLimit},
		{"heic: grid, noise", noisy(grid, 900), isEither},
		{"heic: burst of pictures", join(makeBox("ftyp", []byte("hevc\x00\x00\x00\x00hevc")), makeBox("moov", nil)), isUnsupported},
		{"heic: box of size 3", join(good[:24], be32(3), good[28:]), isUnreadable},
		{"heic: box of 2⁶³ bytes", join(good[:24], be32(1), []byte("meta"), be32(1<<31), be32(0)), isUnreadable},
	}
}

// bigRecord is a decoder record whose sequence parameter set says 32,767 ×
// 32,767 pixels: written bit by bit after ITU-T H.265 §7.3.2.2, one layer, 4:2:0.
func bigRecord(record []byte) []byte {
	bits := "0100001000000001" + "0000" + "000" + "1" + strings.Repeat("0", 96) // header, id, layers, nesting, profile
	golomb := func(v int) string {
		s := strconv.FormatInt(int64(v+1), 2)
		return strings.Repeat("0", len(s)-1) + s
	}
	bits += golomb(0) + golomb(1) + golomb(32767) + golomb(32767) + "0"
	bits += strings.Repeat("0", -len(bits)&7)
	var nal []byte
	for i := 0; i < len(bits); i += 8 {
		v, _ := strconv.ParseUint(bits[i:i+8], 2, 8)
		nal = append(nal, byte(v))
		if n := len(nal); n >= 2 && nal[n-1] == 0 && nal[n-2] == 0 {
			nal = append(nal, 3) // keeps start codes out, §7.4.2
		}
	}
	body := join(record[8:8+22], []byte{1, 0xa1}, be16(1), be16(len(nal)), nal)
	return makeBox("hvcC", body)
}
