package preview

import (
	"image"

	"gapshade/preview/grout"
)

// Painting is the panel with one shade, kept to be brought up to strokes.
type Painting struct {
	Image *image.RGBA // of the frame

	shade   grout.Shade
	state   grout.State
	of      *drawing
	strokes int // of the drawing's that it shows
}

// Painter paints the panel with a shade in a state, in place of an earlier painting, or
// anew where there is none (nil) or it shows something else. It returns the box that
// may have changed.
type Painter func(was *Painting, s grout.Shade, st grout.State) (*Painting, image.Rectangle)

// Painter gives what paints the panel as the map lies; what comes out is what
// Proof.DrawAs draws. Near need not have been asked: it may run beside it, with other
// paintings beside itself too, but not beside strokes. nil, where no drawing was begun.
func (b *Bench) Painter() Painter {
	d := b.drawing
	if d == nil {
		return nil
	}
	return func(was *Painting, s grout.Shade, st grout.State) (*Painting, image.Rectangle) {
		fill := d.fill()
		if was == nil || was.of != d || was.shade != s || was.state != st {
			img := fill.Draw(s, st)
			return &Painting{img, s, st, d, len(d.renewed)}, img.Rect
		}
		var box image.Rectangle
		for _, r := range d.renewed[was.strokes:] {
			box = box.Union(r)
		}
		fill.Repaint(was.Image, s, st, box.Min.Y, box.Max.Y)
		was.strokes = len(d.renewed)
		return was, box
	}
}
