package photo

import "gapshade/colormath/icc"

// header is what the gate learns about a file without decoding it.
type header struct {
	w, h     int   // as stored, before orientation, px
	scans    int   // JPEG only
	metadata int64 // bytes that are no picture

	exif   []byte       // a TIFF structure, nil = none
	icc    []byte       // a whole ICC profile, nil = none
	points *codePoints  // colour by PNG cICP, HEIF nclx
	coding *codePoints  // HEIF: matrix and range of the code values
	gamma  *icc.Profile // PNG gAMA and cHRM
	broken bool         // a profile is there, but not whole
	stated bool         // the file says sRGB (PNG sRGB chunk)

	turn int // orientation 1…8 found outside EXIF (TIFF); 0 = look in EXIF
	// atLeast is the smallest number of bytes that a picture of this size can
	// take; a shorter file is cut off, and is not worth the memory to find out.
	atLeast int64
	cutOff  bool    // the end is missing
	work    float64 // pixels that the decoder will have to decode; 0 = w × h
	cropped bool    // the decoder hands over less than w × h

	cmyk  bool
	grey  bool // one channel
	notes []Note
}

// codePoints are the numbers of ITU-T H.273: colour primaries, transfer,
// matrix, and whether code values use the full range.
type codePoints struct {
	primaries, transfer, matrix int
	full                        bool
}

// note adds a remark for the report.
func (h *header) note(code, text string) { h.notes = append(h.notes, Note{code, text}) }
