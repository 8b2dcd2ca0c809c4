package photo

// heifMeta is the item list of a HEIF file (ISO/IEC 23008-12): what pictures
// it holds, which is the main one, and what is said about each.
type heifMeta struct {
	file    []byte
	primary uint64
	kinds   map[uint64]string   // item → type: hvc1, grid, av01, Exif …
	props   []box               // properties, in order; numbered from 1
	uses    map[uint64][]int    // item → numbers of its properties
	derived map[uint64][]uint64 // item → the items that it is put together from
	extents map[uint64][]extent
	idat    []byte
}

// extent is a piece of an item's data.
type extent struct {
	method, off, size uint64 // method 0: file offset, 1: inside idat
}

// readMeta reads the meta box. Damage leaves holes, and the header reader
// then finds no size.
func readMeta(file []byte, meta []byte) *heifMeta {
	m := &heifMeta{file: file, kinds: map[uint64]string{}, uses: map[uint64][]int{},
		derived: map[uint64][]uint64{}, extents: map[uint64][]extent{}}
	// The lists point at each other by number, so order does not matter.
	if len(meta) < 4 {
		return m
	}
	list, _ := boxes(meta[4:]) // version and flags come first
	m.idat = find(list, "idat").body
	m.readPrimary(find(list, "pitm").body)
	m.readInfos(find(list, "iinf").body)
	m.readLocations(find(list, "iloc").body)
	m.readReferences(find(list, "iref").body)
	props, _ := boxes(find(list, "iprp").body)
	m.props, _ = boxes(find(props, "ipco").body)
	for _, p := range props {
		if p.kind == "ipma" {
			m.readUses(p.body)
		}
	}
	return m
}

// wide is the width of item numbers: they grew from 2 to 4 bytes.
func wide(grown bool) int {
	if grown {
		return 4
	}
	return 2
}

// readPrimary reads pitm: the number of the main picture.
func (m *heifMeta) readPrimary(b []byte) {
	f := newFields(b)
	v, _ := f.full()
	m.primary = f.uint(wide(v > 0))
}

// readInfos reads iinf and its infe boxes, ISO/IEC 14496-12 §8.11.6.
func (m *heifMeta) readInfos(b []byte) {
	f := newFields(b)
	v, _ := f.full()
	f.uint(wide(v > 0))
	list, _ := boxes(f.b)
	for _, x := range list {
		e := newFields(x.body)
		v, _ := e.full()
		if x.kind != "infe" || v < 2 {
			continue
		}
		id := e.uint(wide(v > 2))
		e.uint(2)
		if kind := e.uint(4); e.ok {
			m.kinds[id] = string([]byte{byte(kind >> 24), byte(kind >> 16), byte(kind >> 8), byte(kind)})
		}
	}
}

// readLocations reads iloc, ISO/IEC 14496-12 §8.11.3.
func (m *heifMeta) readLocations(b []byte) {
	f := newFields(b)
	v, _ := f.full()
	s := f.uint(2)
	offSize, lenSize, baseSize, indexSize := int(s>>12), int(s>>8&15), int(s>>4&15), int(s&15)
	if v == 0 {
		indexSize = 0
	}
	if max(offSize, lenSize, baseSize, indexSize) > 8 {
		return
	}
	for n := f.uint(wide(v > 1)); n > 0 && f.ok; n-- {
		id, method := f.uint(wide(v > 1)), uint64(0)
		if v > 0 {
			method = f.uint(2) & 15
		}
		f.uint(2) // data reference
		base := f.uint(baseSize)
		for k := f.uint(2); k > 0 && f.ok; k-- {
			f.uint(indexSize)
			e := extent{method, base + f.uint(offSize), f.uint(lenSize)}
			if f.ok {
				m.extents[id] = append(m.extents[id], e)
			}
			if offSize+lenSize+indexSize == 0 {
				break // entries without a byte: nothing to learn, only time to lose
			}
		}
	}
}

// readReferences keeps the "derived image" references of iref,
// ISO/IEC 14496-12 §8.11.12.
func (m *heifMeta) readReferences(b []byte) {
	f := newFields(b)
	v, _ := f.full()
	list, _ := boxes(f.b)
	for _, x := range list {
		if x.kind != "dimg" {
			continue
		}
		e := newFields(x.body)
		from := e.uint(wide(v > 0))
		for n := e.uint(2); n > 0 && e.ok; n-- {
			if to := e.uint(wide(v > 0)); e.ok {
				m.derived[from] = append(m.derived[from], to)
			}
		}
	}
}

// readUses reads ipma: which properties each item has, in the order in which
// they apply. ISO/IEC 23008-12 §9.3.
func (m *heifMeta) readUses(b []byte) {
	f := newFields(b)
	v, flags := f.full()
	size := 1 + int(flags&1)
	for n := f.uint(4); n > 0 && f.ok; n-- {
		id := f.uint(wide(v > 0))
		for k := f.uint(1); k > 0 && f.ok; k-- {
			i := f.uint(size) & (1<<(8*size-1) - 1) // the top bit says "essential"
			if f.ok {
				m.uses[id] = append(m.uses[id], int(i))
			}
		}
	}
}

// of gives the properties of an item in their order.
func (m *heifMeta) of(item uint64) (out []box) {
	for _, i := range m.uses[item] {
		if i >= 1 && i <= len(m.props) {
			out = append(out, m.props[i-1])
		}
	}
	return out
}

// size gives an item's width and height as coded; 0, 0 when not stated.
func (m *heifMeta) size(item uint64) (w, h int) {
	f := newFields(find(m.of(item), "ispe").body)
	f.full()
	w, h = int(f.uint(4)), int(f.uint(4))
	if !f.ok {
		return 0, 0
	}
	return w, h
}

// data gives the bytes of an item, at most limit of them; nil when they lie
// outside the file.
func (m *heifMeta) data(item uint64, limit int) (out []byte) {
	for _, e := range m.extents[item] {
		from := m.file
		if e.method == 1 {
			from = m.idat
		}
		n := uint64(len(from))
		if e.method > 1 || e.off > n || e.size > n-e.off || len(out)+int(e.size) > limit {
			return nil
		}
		out = append(out, from[e.off:e.off+e.size]...)
	}
	return out
}
