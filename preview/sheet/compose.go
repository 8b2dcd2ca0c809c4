package sheet

import (
	"image"
	"image/color"
	"image/draw"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
)

// The surround: a neutral mid grey, as viewing booths have it (ISO 3664:2009
// asks for a neutral, matt surround that reflects 10 to 60 %), because every
// shade looks lighter on black and darker on white. This one reflects 16 %
// (L* 47), the lightest on which white text still has a contrast near 5:1.
var (
	surround = color.RGBA{0x70, 0x70, 0x70, 0xff}
	ink      = color.RGBA{0xff, 0xff, 0xff, 0xff}
)

// Bare is the place of the bare layout in Add.
const Bare = -1

// Sheet is a comparison sheet that is filled one picture at a time, so that
// only one full-size picture has to be in memory.
type Sheet struct {
	crop image.Rectangle
	l    layout
	img  *image.RGBA
	n    int
}

// New lays out the sheet of a proof and writes all its text; the pictures are
// still missing.
func New(p *preview.Proof) *Sheet {
	s := &Sheet{crop: Crop(p), n: len(p.Trials)}
	s.l = newLayout(1+s.n, s.crop)
	pen := newPen()
	foot := s.footLines(pen, p.Settings.Joint.State)
	s.l.h += len(foot) * s.px(footPitch)
	s.img = image.NewRGBA(image.Rect(0, 0, s.l.w, s.l.h))
	draw.Draw(s.img, s.img.Bounds(), image.NewUniform(surround), image.Point{}, draw.Src)
	s.writeHead(pen, p)
	s.writeCaption(pen, 0, bareCaption(p), nil)
	for i := range p.Trials {
		t := &p.Trials[i]
		s.writeCaption(pen, 1+i, shadeCaption(t), swatch(t.Shade.Lab))
	}
	s.writeFoot(pen, foot)
	return s
}

// Compose makes the whole sheet at once: bare is the frame before grouting,
// paint gives the frame under Trials[i]; both are opaque and frame size.
func Compose(p *preview.Proof, bare *image.RGBA, paint func(i int) *image.RGBA) *image.RGBA {
	s := New(p)
	s.Add(Bare, s.Thumb(bare))
	for i := range p.Trials {
		s.Add(i, s.Thumb(paint(i)))
	}
	return s.Image()
}

// Crop is the part of the frame that the sheet shows, px.
func (s *Sheet) Crop() image.Rectangle { return s.crop }

// Thumb reduces a full-size picture of the frame to its place on the sheet.
func (s *Sheet) Thumb(full *image.RGBA) *image.RGBA { return Thumb(full, s.crop, s.l.pic.X, 1) }

// Add puts a picture made by Thumb in place: the bare layout (i = Bare) or the
// preview of Trials[i]. Different places may be filled at the same time.
func (s *Sheet) Add(i int, thumb *image.RGBA) {
	if i < Bare || i >= s.n {
		return
	}
	draw.Draw(s.img, s.l.cell(i+1), thumb, thumb.Bounds().Min, draw.Src)
}

// Image is the sheet as it stands. It is shared, not copied.
func (s *Sheet) Image() *image.RGBA { return s.img }

func (s *Sheet) px(v float64) int { return scaled(v, s.l.unit) }

func (s *Sheet) style(pen *pen, bold bool, px float64) style {
	f := pen.regular
	if bold {
		f = pen.bold
	}
	return style{font: f, px: px * s.l.unit, ink: ink}
}

func (s *Sheet) writeHead(pen *pen, p *preview.Proof) {
	room := s.l.w - 2*s.l.margin
	y := s.l.margin
	write(s.img, s.style(pen, true, 76), s.l.margin, y+s.px(58), room, preview.Heading(p.Settings.Title, p.Photo.Name))
	write(s.img, s.style(pen, false, 42), s.l.margin, y+s.px(122), room, aimLine(p.Settings.Aim))
}

// footPitch is the line pitch of the closing lines, at scale 1.
const footPitch = 48

func (s *Sheet) footStyle(pen *pen) style { return s.style(pen, false, 34) }

func (s *Sheet) footLines(pen *pen, st grout.State) []string {
	return wrap(s.footStyle(pen), s.l.w-2*s.l.margin, closing(st)...)
}

func (s *Sheet) writeFoot(pen *pen, lines []string) {
	y := s.l.h - s.l.margin - (len(lines)-1)*s.px(footPitch)
	for i, line := range lines {
		write(s.img, s.footStyle(pen), s.l.margin, y+i*s.px(footPitch), s.l.w-2*s.l.margin, line)
	}
}

// writeCaption writes under picture k; patch is the shade's colour, nil for
// the bare layout.
func (s *Sheet) writeCaption(pen *pen, k int, c caption, patch image.Image) {
	cell := s.l.cell(k)
	x, y, right := cell.Min.X, cell.Max.Y, cell.Max.X
	if patch != nil {
		box := image.Rect(x, y+s.px(20), x+s.px(112), y+s.px(156))
		draw.Draw(s.img, box, patch, image.Point{}, draw.Src)
		x = box.Max.X + s.px(24)
	}
	name, body := s.style(pen, true, 48), s.style(pen, false, 35)
	used := 0
	if c.value != "" {
		used = writeRight(s.img, name, right, y+s.px(56), right-x, c.value) + s.px(20)
	}
	write(s.img, name, x, y+s.px(56), right-x-used, c.name)
	for i, line := range c.lines {
		write(s.img, body, x, y+s.px(106+44*float64(i)), right-x, line)
	}
}

// swatch is a shade's colour, clipped to sRGB.
func swatch(c colormath.Lab) image.Image { return image.NewUniform(srgb(c)) }

func srgb(c colormath.Lab) color.RGBA {
	v := c.LinearRGB()
	return color.RGBA{colormath.Encode8(float32(v.R)), colormath.Encode8(float32(v.G)), colormath.Encode8(float32(v.B)), 0xff}
}
