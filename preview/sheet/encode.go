package sheet

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"io"
)

// JPEG writes img as a baseline JPEG of the given quality (1…100) that carries
// an sRGB profile and nothing else: no camera data, no place, no date. The
// pixels must be sRGB. Colour is stored at half resolution (4:2:0), which is
// what the standard encoder gives.
func JPEG(w io.Writer, img image.Image, quality int) error {
	if s := img.Bounds().Size(); s.X < 1 || s.Y < 1 || s.X > 65535 || s.Y > 65535 {
		return fmt.Errorf("jpeg: cannot hold a picture of %d x %d px; sides go from 1 to 65,535 px", s.X, s.Y)
	}
	if err := jpeg.Encode(&splicer{w: w, insert: iccSegment()}, img, &jpeg.Options{Quality: quality}); err != nil {
		return fmt.Errorf("jpeg: %w", err)
	}
	return nil
}

// startOfImage opens every JPEG (ITU-T T.81, table B.1).
var startOfImage = []byte{0xff, 0xd8}

// iccSegment is the APP2 segment that holds the profile, first and only chunk
// (ICC.1:2010, annex B.4).
func iccSegment() []byte {
	body := append([]byte("ICC_PROFILE\x00\x01\x01"), srgbProfile()...)
	seg := []byte{0xff, 0xe2}
	seg = binary.BigEndian.AppendUint16(seg, uint16(len(body)+2))
	return append(seg, body...)
}

// splicer passes a JPEG on and puts a segment behind its first two bytes.
type splicer struct {
	w      io.Writer
	head   []byte // bytes held back until the start marker is whole
	insert []byte // nil once written
}

// Write implements io.Writer.
func (s *splicer) Write(p []byte) (int, error) {
	if s.insert == nil {
		return s.w.Write(p)
	}
	s.head = append(s.head, p...)
	if len(s.head) < len(startOfImage) {
		return len(p), nil
	}
	if !bytes.HasPrefix(s.head, startOfImage) {
		return 0, fmt.Errorf("encoder did not begin with a start marker")
	}
	out := append(append(bytes.Clone(startOfImage), s.insert...), s.head[len(startOfImage):]...)
	s.insert, s.head = nil, nil
	if _, err := s.w.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}
