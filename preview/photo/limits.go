package photo

// Limits bound what a photo may cost. A zero field stands for the default, so
// the zero value works; a negative one lifts the limit.
type Limits struct {
	Pixels   int   // width × height; default 120,000,000
	Side     int   // the longer side, px; default 30,000
	Bytes    int64 // file size; default 100,000,000
	Scans    int   // passes of a progressive JPEG; default 100
	Metadata int64 // everything in the file that is no picture, bytes; default 16,000,000

	// Lean leaves Photo.Picture nil for plain 8-bit photos, which saves 12
	// bytes per pixel; Photo.Linear and Photo.Reduced give it when wanted.
	Lean bool

	// Threads for the conversion; 0 means one per processor. The result does
	// not depend on it.
	Threads int
}

// The defaults. A legal 220 KB JPEG of 1000 scans keeps a decoder busy for a
// quarter of a minute, files of real cameras have about ten: hence the limit
// on scans beside the one on pixels.
const (
	defaultPixels   = 120_000_000
	defaultSide     = 30_000
	defaultBytes    = 100_000_000
	defaultScans    = 100
	defaultMetadata = 16_000_000

	unlimited = 1 << 40
)

// filled puts the defaults in.
func (l Limits) filled() Limits {
	l.Pixels = pick(l.Pixels, defaultPixels)
	l.Side = pick(l.Side, defaultSide)
	l.Bytes = pick(l.Bytes, defaultBytes)
	l.Scans = pick(l.Scans, defaultScans)
	l.Metadata = pick(l.Metadata, defaultMetadata)
	return l
}

// pick reads one field: 0 is the standard, below 0 no limit.
func pick[T int | int64](v, standard T) T {
	switch {
	case v == 0:
		return standard
	case v < 0:
		return T(unlimited)
	}
	return v
}

// gate refuses by what the header says, before anything is decoded.
func (l Limits) gate(h *header, size int) *Error {
	if h.w <= 0 || h.h <= 0 {
		return unreadable("it says that it is 0 pixels wide or high")
	}
	if h.w > l.Side || h.h > l.Side {
		return overLimit("it is %d × %d pixels, and a side may have %d", h.w, h.h, l.Side)
	}
	if h.w*h.h > l.Pixels {
		return overLimit("it is %d × %d, %.0f million pixels, and the limit is %.0f million",
			h.w, h.h, float64(h.w)*float64(h.h)/1e6, float64(l.Pixels)/1e6)
	}
	// A grid may have rims that are cut off, not twice its size in parts.
	if h.work > 1.5*float64(l.Pixels) {
		return overLimit("it is put together from parts of %.0f million pixels, and the limit is %.0f million",
			h.work/1e6, float64(l.Pixels)/1e6)
	}
	// Before the decoder asks for memory that the file cannot fill.
	if int64(size) < h.atLeast {
		return unreadable("it ends early; a part of the picture is missing")
	}
	if h.scans > l.Scans {
		return overLimit("it is built of %d scans, and the limit is %d", h.scans, l.Scans)
	}
	if h.metadata > l.Metadata {
		return overLimit("it carries %.1f MB that is no picture, and the limit is %.0f MB",
			float64(h.metadata)/1e6, float64(l.Metadata)/1e6)
	}
	return nil
}
