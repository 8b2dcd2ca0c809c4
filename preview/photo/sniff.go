package photo

import (
	"bytes"
	"context"
	"image"
)

// format is one kind of file that is read.
type format struct {
	name   string // for the report
	title  string // for sentences
	match  func(b []byte) bool
	header func(b []byte) (*header, *Error)
	decode func(ctx context.Context, b []byte, h *header) (image.Image, error)
}

// formats in the order of trial. The content decides, never the name: phones
// and chat programs rename files freely.
func formats() []format {
	return []format{
		{"jpeg", "JPEG", begins("\xff\xd8"), jpegHeader, decodeJPEG},
		{"png", "PNG", begins("\x89PNG\r\n\x1a\n"), pngHeader, decodePNG},
		{"webp", "WebP", isWebP, webpHeader, decodeWebP},
		{"tiff", "TIFF", isTIFF, tiffHeader, decodeTIFF},
		{"bmp", "BMP", begins("BM"), bmpHeader, decodeBMP},
		{"heic", "HEIC", isHEIF, heifHeader, decodeHEIF},
	}
}

// begins matches a file by its first bytes.
func begins(magic string) func([]byte) bool {
	return func(b []byte) bool { return bytes.HasPrefix(b, []byte(magic)) }
}

// sniff finds the format, or refuses with its name and what to do instead.
func sniff(b []byte) (format, *Error) {
	if len(b) == 0 {
		return format{}, unreadable("the file is empty")
	}
	for _, f := range formats() {
		if f.match(b) {
			return f, nil
		}
	}
	return format{}, strange(b)
}
