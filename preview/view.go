package preview

import (
	"context"
	"errors"
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/preview/light"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// view is the working picture: what every later step sees. It is the photo
// itself unless the person marked a card or asked for a straight panel.
type view struct {
	pic     *colormath.Picture
	toFrame colormath.Homography // upright photo px → view px
	panel   *segment.Quad        // the panel in the view; nil = to be found
	holes   [][]segment.Point    // openings in such a panel, as they were found
	gain    [3]float64           // what the card's balance multiplied the channels by
	quad    *segment.Quad        // the panel in the photo, when straightened
	changed bool                 // pic is no longer what the photo shows
}

// look prepares the working picture, in this order: balance, then straighten,
// so that a card outside the panel still counts.
func (p *Proof) look(ctx context.Context, finder *segment.Finder) (*view, error) {
	v := &view{toFrame: colormath.Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}, panel: p.Settings.Corners, gain: [3]float64{1, 1, 1}}
	v.pic = p.Photo.Linear()
	if err := p.balance(v); err != nil {
		return nil, err
	}
	if p.Settings.Straighten {
		if err := p.straighten(ctx, finder, v); err != nil {
			return nil, err
		}
	}
	if v.changed {
		p.base = photo.Encode(v.pic, p.Settings.Threads)
	}
	return v, nil
}

// balance makes the card neutral in the whole working picture. Previews then
// show the panel under a neutral light too: the person asked for that by marking
// a card. A bed of known colour alone changes no pixel of the tiles, because a
// preview should look like the photo; numbers are balanced either way.
func (p *Proof) balance(v *view) error {
	card := p.Settings.Grey
	if card == nil {
		return nil
	}
	b, err := light.ReadCard(v.pic, *card)
	if err != nil {
		return cardFault(card, v.pic, err)
	}
	// A photo opened lean gives a picture that is ours; any other keeps its own.
	if p.Photo.Picture != nil {
		v.pic = &colormath.Picture{W: v.pic.W, H: v.pic.H, Pix: slices.Clone(v.pic.Pix)}
	}
	b.Apply(v.pic, p.Settings.Threads)
	v.gain, v.changed, p.card = b.Gain, true, &b
	return nil
}

// cardFault says why a card can't be read and what to mark instead.
func cardFault(c *light.Card, pic *colormath.Picture, err error) *Fault {
	next := "mark a plain part of a grey or white card that lies in the same light as the panel, " +
		"centre and radius in pixels of the upright photo, such as --grey 200,150,40"
	if errors.Is(err, light.ErrClipped) {
		next = "take the photo a little darker (or lighter, for a black card), or mark a grey card"
	}
	f := usage("--grey %g,%g,%g on a photo of %d x %d px", next, c.X, c.Y, c.R, pic.W, pic.H)
	f.Why, f.Err = err.Error(), err
	return f
}

// castWith is the colour of the light as the photo was taken: what the card
// showed times what the bed still shows of it.
func (p *Proof) castWith(bed [3]float64) [3]float64 {
	if p.card == nil {
		return bed
	}
	var sum float64
	for c := range bed {
		bed[c] *= p.card.Cast[c]
		sum += bed[c] / 3
	}
	for c := range bed {
		bed[c] /= sum
	}
	return bed
}

// How much of the panel's longer side is kept round it as a margin: open bed
// there is where the light is read best.
const straightMargin = 0.04

// Proportions told by --size and those of the corners differ under perspective:
// by less than 1.3 for a camera held within 40° of straight above (1/cos 40°);
// over 2, one of the two is wrong.
const oddShape, wrongShape = 1.3, 2.0

// straighten resamples the panel as seen from straight above, once.
func (p *Proof) straighten(ctx context.Context, finder *segment.Finder, v *view) error {
	quad, holes := p.Settings.Corners, [][]segment.Point(nil)
	if quad == nil {
		o := p.Settings.options()
		o.Second = p.second(v)
		m, err := finder.Find(ctx, v.pic, o)
		if err != nil {
			return faultOf(err)
		}
		if m.WholePicture {
			p.note("not-straightened", "no outline of a panel stood out, so nothing could be straightened; --corners tells where the panel is")
			return nil
		}
		if m.Free {
			p.note("not-straightened", "the panel's outline is free, and without four corners nothing tells how the camera stood, so nothing was straightened; photograph from straight above, or give --corners")
			return nil
		}
		quad, holes = &m.Panel, m.Holes
	}
	w, h, err := p.straightSize(quad)
	if err != nil {
		return err
	}
	// Half a pixel: the panel's edge runs along the edges of pixels, not through
	// their centres.
	edge := math.Ceil(straightMargin*max(w, h)) - .5
	panel := segment.Quad{{X: edge, Y: edge}, {X: edge + w, Y: edge}, {X: edge + w, Y: edge + h}, {X: edge, Y: edge + h}}
	if v.toFrame, err = colormath.HomographyOf(points(quad), points(&panel)); err != nil {
		return usage("--straighten: %v", "give --corners round the panel", err)
	}
	v.pic, err = colormath.Warp(v.pic, v.toFrame, int(math.Ceil(2*edge+1+w)), int(math.Ceil(2*edge+1+h)), p.Settings.Threads)
	v.panel, v.quad, v.changed = &panel, quad, true
	for _, hole := range holes {
		there := make([]segment.Point, len(hole))
		for i, c := range hole {
			there[i].X, there[i].Y = v.toFrame.Apply(c.X, c.Y)
		}
		v.holes = append(v.holes, there)
	}
	return err
}

// straightSize is the straightened panel's width and height, px. Its area stays
// what it was in the photo, so that about as many pixels are made as were
// there. Proportions come from the size, else from the mean lengths of opposite
// sides.
func (p *Proof) straightSize(q *segment.Quad) (w, h float64, err error) {
	side := func(i int) float64 { a, b := q[i], q[(i+1)%4]; return math.Hypot(b.X-a.X, b.Y-a.Y) }
	seen := (side(0) + side(2)) / (side(1) + side(3))
	shape := seen
	if s := &p.Settings; s.WidthMm > 0 && s.HeightMm > 0 {
		shape = s.WidthMm / s.HeightMm
		switch off := math.Exp(math.Abs(math.Log(shape / seen))); {
		case off > wrongShape:
			return 0, 0, usage("--straighten: a panel of %g x %g mm doesn't fit corners of proportions %.2f to 1",
				"check --size (width first, as the photo is seen upright) and --corners", s.WidthMm, s.HeightMm, seen)
		case off > oddShape:
			p.note("size-shape", "--size says %.2f to 1, the photo shows %.2f to 1; check that width and height aren't swapped and that the photo was taken from above", shape, seen)
		}
	}
	area := q.Area()
	return math.Sqrt(area * shape), math.Sqrt(area / shape), nil
}

func points(q *segment.Quad) (out [4][2]float64) {
	for i, c := range q {
		out[i] = [2]float64{c.X, c.Y}
	}
	return out
}
