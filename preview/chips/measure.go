package chips

import (
	"errors"
	"image"

	"gapshade/colormath"
	"gapshade/preview/light"
)

// Options say what is known of the photo. Places are pixels of the picture given.
type Options struct {
	Reference colormath.Lab     // own colour of the sheet that the chips lie on, or of the card; D50
	Card      *light.Card       // where the reference lies; nil = it is the sheet below the chips
	Boxes     []image.Rectangle // the chips; none = find them
}

// Chip is one sample as read.
type Chip struct {
	Box    image.Rectangle // px
	Lab    colormath.Lab   // D50
	Doubt  colormath.Lab   // how far each of L*, a* and b* may be off, one standard deviation
	Varies float64         // how much its own pixels differ in L*, one standard deviation: the grain of the surface
	Burnt  float64         // share of its pixels that are burnt out or black, 0…1
}

// The reasons why a photo can't be read.
var (
	ErrNoSheet  = errors.New("no plain sheet fills enough of the photo")
	ErrNoChips  = errors.New("nothing that lies on the sheet looks like a sample")
	ErrTooMany  = errors.New("more than 64 samples were found; part of the sheet must have been taken for them")
	ErrOff      = errors.New("it reaches beyond the photo")
	ErrSmall    = errors.New("it is too small to tell its colour from noise")
	ErrNoColour = errors.New("the reference is burnt out or black, so the light can't be read from it")
)

// BoxError says which of the boxes given is wrong.
type BoxError struct {
	Box image.Rectangle
	Err error
}

func (e *BoxError) Error() string { return e.Err.Error() }
func (e *BoxError) Unwrap() error { return e.Err }

// Measure reads the chips, in reading order or in the order of the boxes. Errors
// are the ones above.
func Measure(pic *colormath.Picture, o Options) ([]Chip, error) {
	tone := tones(pic)
	on := ground(pic, tone, o.sheet())
	lit, err := o.light(pic, on)
	if err != nil {
		return nil, err
	}
	boxes := o.Boxes
	if len(boxes) == 0 {
		if on == nil {
			return nil, ErrNoSheet
		}
		boxes = o.without(find(pic.W, pic.H, on))
	}
	switch {
	case len(boxes) == 0:
		return nil, ErrNoChips
	case len(boxes) > mostChips:
		return nil, ErrTooMany
	}
	var out []Chip
	for _, b := range boxes {
		c, err := lit.chip(pic, b)
		if err != nil {
			return nil, &BoxError{b, err}
		}
		out = append(out, c)
	}
	return out, nil
}

// sheet is what the ground is known to be: the reference, or nothing when that is a
// card beside the chips.
func (o *Options) sheet() *colormath.Lab {
	if o.Card != nil {
		return nil
	}
	return &o.Reference
}

// without drops what lies over the card.
func (o *Options) without(boxes []image.Rectangle) []image.Rectangle {
	if o.Card == nil {
		return boxes
	}
	var out []image.Rectangle
	middle := image.Pt(int(o.Card.X), int(o.Card.Y))
	for _, b := range boxes {
		if !middle.In(b) {
			out = append(out, b)
		}
	}
	return out
}

// lit is the light on the chips and what it is worth.
type lit struct {
	field     *light.Field
	off       float64 // the field's own error, as a share of the light
	reference colormath.Lab
}

// light reads the light: its shape from the ground, where there is one, its colour
// and strength from the reference.
func (o *Options) light(pic *colormath.Picture, on []bool) (lit, error) {
	l := lit{reference: o.Reference, field: light.Even(colormath.LinearRGB{R: 1, G: 1, B: 1})}
	own := reflectance(o.Reference)
	found := false
	if on != nil {
		if f, off, ok := light.Sheet(pic, inner(pic.W, pic.H, on), own); ok {
			l.field, l.off, found = f, off, true
		}
	}
	if o.Card == nil {
		if !found {
			return l, ErrNoSheet
		}
		return l, usable(pic, on)
	}
	c := o.Card
	box := image.Rect(int(c.X-.7*c.R), int(c.Y-.7*c.R), int(c.X+.7*c.R)+1, int(c.Y+.7*c.R)+1)
	px, burnt, err := pixels(pic, box, 0, func(int, int) colormath.LinearRGB { return colormath.LinearRGB{R: 1, G: 1, B: 1} })
	if err != nil {
		return l, &BoxError{box, err}
	}
	if burnt > mostBurnt {
		return l, ErrNoColour
	}
	m := middle(px)
	l.field.Set(c.X, c.Y, colormath.LinearRGB{R: m.R / own.R, G: m.G / own.G, B: m.B / own.B})
	return l, nil
}

// reflectance of the reference; no channel is so dark that no light could be told.
func reflectance(c colormath.Lab) colormath.LinearRGB {
	v := c.LinearRGB()
	return colormath.LinearRGB{R: max(v.R, .002), G: max(v.G, .002), B: max(v.B, .002)}
}

// mostBurnt is the share of burnt-out or black pixels that is borne (ours).
const mostBurnt = 0.05

// usable refuses a sheet that stands at either end of what the photo can hold.
func usable(pic *colormath.Picture, on []bool) error {
	bad, all := 0, 0
	for i, b := range on {
		if b {
			all++
			if ends(pic.Pix[3*i:]) {
				bad++
			}
		}
	}
	if float64(bad) > .25*float64(all) {
		return ErrNoColour
	}
	return nil
}

// ends reports a pixel with a channel burnt out or black: 8-bit codes 251 and 5.
func ends(p []float32) bool {
	return max(p[0], p[1], p[2]) >= .965 || min(p[0], p[1], p[2]) <= .0015
}

// inner is the ground away from its edges: beside a chip lies its shadow.
func inner(w, h int, on []bool) []bool {
	d := max(2, min(w, h)/100)
	out := make([]bool, len(on))
	for y := d; y < h-d; y++ {
		for x := d; x < w-d; x++ {
			i := y*w + x
			out[i] = on[i] && on[i-d] && on[i+d] && on[i-d*w] && on[i+d*w]
		}
	}
	return out
}

// shrink is how much of a box is left off at each side: the edge of a chip is worn,
// in shadow, or not there at all when the chip is round.
const shrink = 0.2

// chip reads one sample.
func (l *lit) chip(pic *colormath.Picture, box image.Rectangle) (Chip, error) {
	px, burnt, err := pixels(pic, box, shrink, func(x, y int) colormath.LinearRGB { return l.field.At(float64(x), float64(y)) })
	if err != nil {
		return Chip{}, err
	}
	c := Chip{Box: box, Lab: middle(px).Lab(), Burnt: burnt}
	c.Doubt, c.Varies = l.doubt(px, c.Lab)
	return c, nil
}

// fewestPixels in a core: 5 % of noise then leave less than 1 % of doubt.
const fewestPixels = 30

// pixels are the reflectances in the inner part of a box, and the share of burnt
// ones, which are left out unless there are no others.
func pixels(pic *colormath.Picture, box image.Rectangle, shrink float64, at func(x, y int) colormath.LinearRGB) (px []placed, burnt float64, err error) {
	if !box.In(image.Rect(0, 0, pic.W, pic.H)) || box.Empty() {
		return nil, 0, ErrOff
	}
	dx, dy := int(shrink*float64(box.Dx())), int(shrink*float64(box.Dy()))
	core := image.Rect(box.Min.X+dx, box.Min.Y+dy, box.Max.X-dx, box.Max.Y-dy)
	var lost []placed
	for y := core.Min.Y; y < core.Max.Y; y++ {
		for x := core.Min.X; x < core.Max.X; x++ {
			p, e := pic.Pix[3*(y*pic.W+x):], at(x, y)
			v := placed{quarter(x, y, core), colormath.LinearRGB{R: float64(p[0]) / e.R, G: float64(p[1]) / e.G, B: float64(p[2]) / e.B}}
			if ends(p) {
				lost = append(lost, v)
			} else {
				px = append(px, v)
			}
		}
	}
	n := len(px) + len(lost)
	if n < fewestPixels {
		return nil, 0, ErrSmall
	}
	if len(px) < fewestPixels {
		px = append(px, lost...)
	}
	return px, float64(len(lost)) / float64(n), nil
}

// placed is one pixel's reflectance and the quarter of the chip that it lies in.
type placed struct {
	quarter int
	c       colormath.LinearRGB
}

func quarter(x, y int, r image.Rectangle) int {
	q := 0
	if 2*x > r.Min.X+r.Max.X {
		q++
	}
	if 2*y > r.Min.Y+r.Max.Y {
		q += 2
	}
	return q
}

// middle is the median channel by channel.
func middle(px []placed) colormath.LinearRGB {
	var v [3][]float64
	for _, p := range px {
		v[0], v[1], v[2] = append(v[0], p.c.R), append(v[1], p.c.G), append(v[2], p.c.B)
	}
	return colormath.LinearRGB{R: colormath.Median(v[0]), G: colormath.Median(v[1]), B: colormath.Median(v[2])}
}
