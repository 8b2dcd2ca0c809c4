package sheet

import (
	"image"
	"image/color"
	"image/draw"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// pen writes text with the embedded Go fonts, so that a picture looks the same
// on every machine.
type pen struct {
	regular, bold *opentype.Font
}

func newPen() *pen {
	return &pen{regular: mustParse(goregular.TTF), bold: mustParse(gobold.TTF)}
}

// mustParse panics on a broken build only: the fonts are part of the binary.
func mustParse(ttf []byte) *opentype.Font {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic("embedded font: " + err.Error())
	}
	return f
}

// style is how a line is written.
type style struct {
	font *opentype.Font
	px   float64 // em height
	ink  color.Color
}

// face makes the glyph drawer of a style. A face may not be shared between
// goroutines, so each line has its own.
func (s style) face() font.Face {
	f, err := opentype.NewFace(s.font, &opentype.FaceOptions{Size: s.px, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("embedded font: " + err.Error()) // NewFace checks nothing that depends on input
	}
	return f
}

// write puts one line with its baseline at y, from x to the right; a line wider
// than room ends in "…". It returns the width written, px.
func write(dst draw.Image, s style, x, y, room int, text string) int {
	f := s.face()
	defer f.Close()
	text = shorten(f, text, room)
	d := font.Drawer{Dst: dst, Src: image.NewUniform(s.ink), Face: f, Dot: fixed.P(x, y)}
	d.DrawString(text)
	return d.Dot.X.Ceil() - x
}

// writeRight is write with the end of the line at x.
func writeRight(dst draw.Image, s style, x, y, room int, text string) int {
	return write(dst, s, x-min(room, width(s, text)), y, room, text)
}

// width of a line, px.
func width(s style, text string) int {
	f := s.face()
	defer f.Close()
	return font.MeasureString(f, text).Ceil()
}

// shorten cuts a line to room px and marks the cut.
func shorten(f font.Face, text string, room int) string {
	if font.MeasureString(f, text).Ceil() <= room {
		return text
	}
	r := []rune(text)
	for n := len(r) - 1; n > 0; n-- {
		if cut := string(r[:n]) + "…"; font.MeasureString(f, cut).Ceil() <= room {
			return cut
		}
	}
	return ""
}

// wrap breaks paragraphs at blanks into lines of at most room px.
func wrap(s style, room int, paragraphs ...string) []string {
	f := s.face()
	defer f.Close()
	var lines []string
	for _, p := range paragraphs {
		line := ""
		for word := range strings.FieldsSeq(p) {
			longer := strings.TrimPrefix(line+" "+word, " ")
			if line != "" && font.MeasureString(f, longer).Ceil() > room {
				lines, line = append(lines, line), word
				continue
			}
			line = longer
		}
		lines = append(lines, line)
	}
	return lines
}
