package photo

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
)

// heifItem is one item of a HEIF file that a test writes.
type heifItem struct {
	id    int
	kind  string
	data  []byte
	props []int // numbers of properties, from 1
	parts []int // items that a grid is put together from
}

func makeBox(kind string, parts ...[]byte) []byte {
	b := join(parts...)
	return join(be32(len(b)+8), []byte(kind), b)
}

func fullBox(kind string, version int, parts ...[]byte) []byte {
	return makeBox(kind, be32(version<<24), join(parts...))
}

// heifFile writes a whole file: the first item is the main picture.
func heifFile(props [][]byte, items ...heifItem) []byte {
	ftyp := makeBox("ftyp", []byte("heic\x00\x00\x00\x00mif1heic"))
	// Offsets do not change the length, so a first pass tells where data lies.
	at := len(ftyp) + len(heifMetaBox(props, items, 0)) + 8
	var data []byte
	for _, i := range items {
		data = join(data, i.data)
	}
	return join(ftyp, heifMetaBox(props, items, at), makeBox("mdat", data))
}

func heifMetaBox(props [][]byte, items []heifItem, at int) []byte {
	infos, places, uses, refs := be16(len(items)), join([]byte{0x44, 0}, be16(len(items))), be32(len(items)), []byte(nil)
	for _, i := range items {
		infos = join(infos, fullBox("infe", 2, be16(i.id), be16(0), []byte(i.kind), []byte{0}))
		places = join(places, be16(i.id), be16(0), be16(1), be32(at), be32(len(i.data)))
		at += len(i.data)
		uses = join(uses, be16(i.id), []byte{byte(len(i.props))})
		for _, p := range i.props {
			uses = append(uses, byte(p))
		}
		if len(i.parts) > 0 {
			list := join(be16(i.id), be16(len(i.parts)))
			for _, p := range i.parts {
				list = join(list, be16(p))
			}
			refs = join(refs, makeBox("dimg", list))
		}
	}
	hdlr := fullBox("hdlr", 0, be32(0), []byte("pict"), make([]byte, 13))
	meta := join(hdlr, fullBox("pitm", 0, be16(items[0].id)), fullBox("iloc", 0, places), fullBox("iinf", 0, infos),
		makeBox("iprp", makeBox("ipco", join(props...)), fullBox("ipma", 0, uses)))
	if refs != nil {
		meta = join(meta, fullBox("iref", 0, refs))
	}
	return fullBox("meta", 0, meta)
}

func ispe(w, h int) []byte { return fullBox("ispe", 0, be32(w), be32(h)) }

func nclx(primaries, transfer, matrix int, full bool) []byte {
	flag := byte(0)
	if full {
		flag = 0x80
	}
	return makeBox("colr", []byte("nclx"), be16(primaries), be16(transfer), be16(matrix), []byte{flag})
}

// coded takes the stream and its decoder record out of a file of heif-enc.
func coded(t testing.TB, file []byte) (stream, record []byte) {
	t.Helper()
	top, ok := boxes(file)
	require.True(t, ok)
	m := readMeta(file, find(top, "meta").body)
	stream = m.data(m.primary, len(file))
	record = find(m.of(m.primary), "hvcC").body
	require.NotEmpty(t, stream)
	require.NotEmpty(t, record)
	return stream, makeBox("hvcC", record)
}

// rewrapped is panel.heic or a sister of it with other properties.
func rewrapped(t testing.TB, name string, extra ...[]byte) []byte {
	t.Helper()
	stream, record := coded(t, fixture(t, name))
	props := append([][]byte{record, ispe(panelW, panelH)}, extra...)
	use := make([]int, len(props))
	for i := range use {
		use[i] = i + 1
	}
	return heifFile(props, heifItem{id: 1, kind: "hvc1", data: stream, props: use})
}

// grid is four copies of the picture, two by two, cut to w × h: the way in
// which phones store their photos (ISO/IEC 23008-12 §6.6.2.3).
func gridFile(t testing.TB, w, h int, extra ...[]byte) []byte {
	t.Helper()
	stream, record := coded(t, fixture(t, "panel.heic"))
	layout := join([]byte{0, 0, 1, 1}, be16(w), be16(h))
	props := append([][]byte{record, ispe(panelW, panelH), ispe(w, h)}, extra...)
	main := heifItem{id: 1, kind: "grid", data: layout, props: []int{3}, parts: []int{2, 3, 4, 5}}
	for i := range extra {
		main.props = append(main.props, 4+i)
	}
	items := []heifItem{main}
	for id := 2; id <= 5; id++ {
		items = append(items, heifItem{id: id, kind: "hvc1", data: stream, props: []int{1, 2}})
	}
	return heifFile(props, items...)
}

// patched is a copy with one big-endian 32-bit number changed.
func patched(b []byte, at int, v uint32) []byte {
	out := append([]byte(nil), b...)
	binary.BigEndian.PutUint32(out[at:], v)
	return out
}
