package photo

import (
	"bytes"
	"testing"
)

func oddPNGs(t testing.TB) []oddity {
	good := pngBytes(t, panel())
	head := func(w, h int, depth, colour, lace byte) []byte {
		return chunk("IHDR", join(be32(w), be32(h), []byte{depth, colour, 0, 0, lace}))
	}
	file := func(chunks ...[]byte) []byte {
		return join([]byte("\x89PNG\r\n\x1a\n"), join(chunks...), chunk("IEND", nil))
	}
	zeros := func(w, h int) []byte { // 1 bit per pixel
		return file(head(w, h, 1, 0, 0), chunk("IDAT", deflated(make([]byte, (w/8+1)*h))))
	}
	badCRC := bytes.Clone(good)
	badCRC[len(badCRC)-20] ^= 1
	huge := deflated(make([]byte, 60<<20))
	laced := file(head(64, 64, 8, 2, 1), chunk("IDAT", deflated(make([]byte, 500))))
	return []oddity{
		{"png: signature only", good[:8], isUnreadable},
		{"png: cut at 50 %", cut(good, 0.5), isUnreadable},
		{"png: cut in the header", good[:20], isUnreadable},
		{"png: 100000² in 100 bytes", file(head(100000, 100000, 1, 0, 0), chunk("IDAT", make([]byte, 10))), isOverLimit},
		{"png: 2³¹−1 sides, 16 bit", file(head(1<<31-1, 1<<31-1, 16, 6, 0)), isOverLimit},
		{"png: 2³²−1 sides", file(head(1<<32-1, 1<<32-1, 8, 2, 0)), isUnreadable},
		{"png: 12000² zeros", zeros(12000, 12000), isOverLimit},
		{"png: 10000² without the data", file(head(10000, 10000, 8, 2, 0), chunk("IDAT", deflated(make([]byte, 1000)))), isUnreadable},
		{"png: 3000² zeros", zeros(3000, 3000), isRead},
		{"png: bad checksum", badCRC, isUnreadable},
		{"png: width 0", file(head(0, 5, 8, 2, 0)), isUnreadable},
		{"png: short header chunk", file(chunk("IHDR", make([]byte, 9))), isUnreadable},
		{"png: header not first", file(chunk("tEXt", []byte("a\x00b")), head(1, 1, 8, 2, 0)), isUnreadable},
		{"png: depth 3", rawPNG(1, 1, 3, 0, []byte{0, 0}), isUnreadable},
		{"png: colour type 5", rawPNG(1, 1, 8, 5, []byte{0, 0}), isUnreadable},
		{"png: filter 9", rawPNG(1, 1, 8, 0, []byte{9, 0}), isUnreadable},
		{"png: interlaced and cut", laced, isUnreadable},
		{"png: text of 60 MB in a small chunk", withChunks(good, chunk("zTXt", join([]byte("a\x00\x00"), huge))), isRead},
		{"png: profile of 60 MB in a small chunk", withChunks(good, chunk("iCCP", join([]byte("a\x00\x00"), huge))), isRead},
		{"png: 20 MB of text", withChunks(good, chunk("tEXt", make([]byte, 20<<20))), isOverLimit},
		{"png: palette missing", rawPNG(1, 1, 8, 3, []byte{0, 0}), isUnreadable},
		{"png: too much pixel data", rawPNG(1, 1, 8, 0, make([]byte, 4000)), isEither},
		{"png: 1×1", rawPNG(1, 1, 8, 0, []byte{0, 5}), isRead},
		{"png: 1×30000", rawPNG(1, 30000, 1, 0, make([]byte, 60000)), isRead},
		{"png: 1×30001", rawPNG(1, 30001, 1, 0, make([]byte, 60002)), isOverLimit},
		{"png: chunk of 2³²−1 bytes", withChunks(good, join(be32(1<<32-1), []byte("tEXt"))), isUnreadable},
		{"png: private kind of phone apps", join(good[:8], chunk("CgBI", make([]byte, 4)), good[8:]), isUnsupported},
		{"png: animation", withChunks(good, chunk("acTL", make([]byte, 8))), isRead},
	}
}
