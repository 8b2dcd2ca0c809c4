package photo

// stream is what the HEVC stream of an item says about itself, in its sequence
// parameter set: the size that will really be decoded, and the meaning of the
// code values (nil when nothing is said). Phones that embed a profile often
// state matrix and range only there.
type stream struct {
	w, h   uint64
	coding *codePoints
}

// stream looks into the decoder configuration record of an item (property
// hvcC, ISO/IEC 14496-15 §8.3.3.1) for the first sequence parameter set.
func (m *heifMeta) stream(item uint64) (s stream) {
	// The record starts with 22 bytes of profile and level.
	const fixed, spsType = 22, 33
	c := find(m.of(item), "hvcC").body
	if len(c) < fixed+1 {
		return s
	}
	f := newFields(c[fixed:])
	for n := f.uint(1); n > 0 && f.ok; n-- {
		kind := f.uint(1) & 0x3f
		for k := f.uint(2); k > 0 && f.ok; k-- {
			size := int(f.uint(2))
			if size > len(f.b) {
				return s
			}
			if kind == spsType {
				return readSPS(f.b[:size])
			}
			f.b = f.b[size:]
		}
	}
	return s
}

// readSPS reads a sequence parameter set up to the video signal type
// (ITU-T H.265 §7.3.2.2 and §E.2.1). What lies before it has no fixed length,
// so all of it must be read.
func readSPS(nal []byte) (s stream) {
	r := &bitReader{b: unescape(nal)}
	r.bits(16 + 4) // NAL header, parameter set id
	layers := int(r.bits(3))
	r.bits(1)
	r.profileTierLevel(layers)
	r.golomb()           // id
	if r.golomb() == 3 { // chroma format 4:4:4
		r.bits(1)
	}
	s.w, s.h = r.golomb(), r.golomb()
	if r.bits(1) == 1 { // conformance window
		r.golombs(4)
	}
	r.golombs(2) // bit depths
	orderBits := int(r.golomb()) + 4
	first := layers
	if r.bits(1) == 1 {
		first = 0
	}
	r.golombs(3 * (layers - first + 1))
	r.golombs(6) // block sizes and depths
	if r.bits(1) == 1 && r.bits(1) == 1 {
		r.scalingLists()
	}
	r.bits(2)           // unequal partitions, sample offsets
	if r.bits(1) == 1 { // raw blocks
		r.bits(8)
		r.golombs(2)
		r.bits(1)
	}
	if r.pictureSets(orderBits) {
		r.bits(2) // motion vectors over time, smoothing
		s.coding = r.signalType()
	}
	return s
}

// signalType reads the start of the usability information, §E.2.1.
func (r *bitReader) signalType() *codePoints {
	if r.bits(1) == 0 {
		return nil
	}
	if r.bits(1) == 1 && r.bits(8) == 255 { // aspect ratio, spelled out
		r.bits(32)
	}
	if r.bits(1) == 1 { // overscan
		r.bits(1)
	}
	if r.bits(1) == 0 { // no signal type
		return nil
	}
	r.bits(3)
	p := &codePoints{primaries: 2, transfer: 2, matrix: 2, full: r.bits(1) == 1}
	if r.bits(1) == 1 {
		p.primaries, p.transfer, p.matrix = int(r.bits(8)), int(r.bits(8)), int(r.bits(8))
	}
	if r.spent {
		return nil
	}
	return p
}

// profileTierLevel, §7.3.3: 96 bits, then what each lower layer states.
func (r *bitReader) profileTierLevel(layers int) {
	r.bits(48)
	r.bits(48)
	if layers == 0 {
		return
	}
	flags := r.bits(16) // two per layer, eight layers
	for i := range layers {
		if flags>>(15-2*i)&1 == 1 {
			r.bits(44)
			r.bits(44)
		}
		if flags>>(14-2*i)&1 == 1 {
			r.bits(8)
		}
	}
}

// scalingLists, §7.3.4.
func (r *bitReader) scalingLists() {
	for size := range 4 {
		step := 1
		if size == 3 {
			step = 3
		}
		for i := 0; i < 6; i += step {
			if r.bits(1) == 0 {
				r.golomb()
				continue
			}
			if size > 1 {
				r.golomb()
			}
			r.golombs(min(64, 1<<(4+2*size)))
		}
	}
}

// pictureSets, §7.3.7, and the long-term list. Sets predicted from another
// one belong to films, and are not followed.
func (r *bitReader) pictureSets(orderBits int) bool {
	n := r.golomb()
	for i := range min(n, 64) {
		if i > 0 && r.bits(1) == 1 {
			return false
		}
		for k := min(r.golomb()+r.golomb(), 32); k > 0; k-- {
			r.golomb()
			r.bits(1)
		}
	}
	if r.bits(1) == 1 {
		for k := min(r.golomb(), 32); k > 0; k-- {
			r.bits(min(orderBits, 32))
			r.bits(1)
		}
	}
	return !r.spent
}

// unescape drops the bytes that keep start codes out of the data, §7.4.2.
func unescape(b []byte) []byte {
	out := make([]byte, 0, len(b))
	zeros := 0
	for _, c := range b {
		if zeros >= 2 && c == 3 {
			zeros = 0
			continue
		}
		if c == 0 {
			zeros++
		} else {
			zeros = 0
		}
		out = append(out, c)
	}
	return out
}

// bitReader reads bits from the top; beyond the end they are 0 and spent
// turns true.
type bitReader struct {
	b     []byte
	at    int // bit
	spent bool
}

// bits reads n bits, n ≤ 64.
func (r *bitReader) bits(n int) (v uint64) {
	for range n {
		if r.at>>3 >= len(r.b) {
			r.spent = true
			return 0
		}
		v = v<<1 | uint64(r.b[r.at>>3]>>(7-r.at&7)&1)
		r.at++
	}
	return v
}

// golomb reads an exponential Golomb number, §9.2. Signed ones have the same
// length, so they are skipped with it too.
func (r *bitReader) golomb() uint64 {
	zeros := 0
	for r.bits(1) == 0 {
		if zeros++; zeros > 32 || r.spent {
			r.spent = true
			return 0
		}
	}
	return 1<<zeros - 1 + r.bits(zeros)
}

// golombs skips n numbers.
func (r *bitReader) golombs(n int) {
	for range n {
		r.golomb()
	}
}
