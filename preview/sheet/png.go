package sheet

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"io"
)

// The PNG kinds that are written here (PNG specification, third edition,
// 11.2.1: bit depth and colour type).
var (
	grey8    = pngKind{depth: 8, colour: 0, bytes: 1}
	grey16   = pngKind{depth: 16, colour: 0, bytes: 2}
	paletted = pngKind{depth: 8, colour: 3, bytes: 1}
)

type pngKind struct {
	depth, colour byte
	bytes         int // per pixel
}

// Masks and label maps repeat the row above almost everywhere, so every row is
// stored as its difference from the row above (filter "Up") and compressed
// fast. The standard encoder tries all five filters on every row and needs
// several times as long for the same size; it is not used.

// PNGGrey8 writes an 8-bit grey picture. The values are quantities (coverage),
// not colours, so no colour space is claimed.
func PNGGrey8(w io.Writer, width, height int, pix []uint8) error {
	if len(pix) != width*height {
		return wrongSize(width, height, len(pix))
	}
	return writePNG(w, grey8, width, height, nil, func(y int, row []byte) {
		copy(row, pix[y*width:(y+1)*width])
	})
}

// PNGGrey16 writes a 16-bit grey picture, for instance tile numbers.
func PNGGrey16(w io.Writer, width, height int, pix []uint16) error {
	if len(pix) != width*height {
		return wrongSize(width, height, len(pix))
	}
	return writePNG(w, grey16, width, height, nil, func(y int, row []byte) {
		for x, v := range pix[y*width : (y+1)*width] {
			row[2*x], row[2*x+1] = byte(v>>8), byte(v)
		}
	})
}

// PNGPaletted writes a picture of at most 256 opaque sRGB colours.
func PNGPaletted(w io.Writer, img *image.Paletted) error {
	plte, err := paletteChunk(img.Palette)
	if err != nil {
		return err
	}
	b := img.Bounds()
	return writePNG(w, paletted, b.Dx(), b.Dy(), plte, func(y int, row []byte) {
		copy(row, img.Pix[img.PixOffset(b.Min.X, b.Min.Y+y):])
	})
}

func wrongSize(w, h, n int) error {
	return fmt.Errorf("png: %d x %d px need %d values, got %d", w, h, w*h, n)
}

// paletteChunk returns R, G, B of every colour; a see-through one is refused
// because nothing here writes tRNS.
func paletteChunk(p color.Palette) ([]byte, error) {
	if len(p) == 0 || len(p) > 256 {
		return nil, fmt.Errorf("png: a palette holds 1 to 256 colours, got %d", len(p))
	}
	var out []byte
	for i, c := range p {
		r, g, b, a := c.RGBA()
		if a != 0xffff {
			return nil, fmt.Errorf("png: palette colour %d is not opaque", i)
		}
		out = append(out, byte(r>>8), byte(g>>8), byte(b>>8))
	}
	return out, nil
}

// writePNG writes the whole file; row fills one row of width × kind.bytes.
func writePNG(w io.Writer, k pngKind, width, height int, plte []byte, row func(y int, row []byte)) error {
	if width < 1 || height < 1 || uint64(width) > 1<<31-1 || uint64(height) > 1<<31-1 {
		return fmt.Errorf("png: cannot hold a picture of %d x %d px", width, height)
	}
	c := &chunker{w: w}
	c.raw([]byte("\x89PNG\r\n\x1a\n"))
	head := binary.BigEndian.AppendUint32(nil, uint32(width))
	head = binary.BigEndian.AppendUint32(head, uint32(height))
	c.chunk("IHDR", append(head, k.depth, k.colour, 0, 0, 0))
	if plte != nil {
		c.chunk("sRGB", []byte{1}) // rendering intent: relative colorimetric
		c.chunk("PLTE", plte)
	}
	if err := writeRows(c, k, width, height, row); err != nil {
		return fmt.Errorf("png: %w", err)
	}
	c.chunk("IEND", nil)
	if c.err != nil {
		return fmt.Errorf("png: %w", c.err)
	}
	return nil
}

// filterUp is the filter byte in front of every row (specification, 9.2).
const filterUp = 2

// idatSize is the largest piece of compressed data in one chunk.
const idatSize = 1 << 16

func writeRows(c *chunker, k pngKind, width, height int, row func(y int, row []byte)) error {
	buf := bufio.NewWriterSize(idat{c}, idatSize)
	z, err := zlib.NewWriterLevel(buf, zlib.BestSpeed)
	if err != nil {
		return err
	}
	n := width * k.bytes
	up, cur, out := make([]byte, n), make([]byte, n), make([]byte, n+1)
	out[0] = filterUp
	for y := range height {
		row(y, cur)
		diff := out[1:]
		for x, v := range cur {
			diff[x] = v - up[x]
		}
		if _, err := z.Write(out); err != nil {
			return err
		}
		up, cur = cur, up
	}
	if err := z.Close(); err != nil {
		return err
	}
	return buf.Flush()
}

// chunker writes PNG chunks and remembers the first failure.
type chunker struct {
	w   io.Writer
	err error
}

func (c *chunker) raw(b []byte) {
	if c.err == nil {
		_, c.err = c.w.Write(b)
	}
}

// chunk writes length, name, data and the CRC over name and data.
func (c *chunker) chunk(name string, data []byte) {
	head := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	c.raw(append(head, name...))
	c.raw(data)
	sum := crc32.Update(crc32.ChecksumIEEE([]byte(name)), crc32.IEEETable, data)
	c.raw(binary.BigEndian.AppendUint32(nil, sum))
}

// idat turns every write into one IDAT chunk.
type idat struct{ c *chunker }

// Write implements io.Writer.
func (i idat) Write(p []byte) (int, error) {
	i.c.chunk("IDAT", p)
	return len(p), i.c.err
}
