package page

import (
	"cmp"
	"fmt"
	"image"
	"slices"
	"strings"

	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/sheet"
)

// drawing is a picture that was drawn or is being drawn.
type drawing struct {
	view  view
	ready chan struct{} // closed when the rest stands
	b     []byte
	err   error
}

func newDrawing(v view) *drawing { return &drawing{view: v, ready: make(chan struct{})} }

// make draws it, once.
func (d *drawing) make(draw func() ([]byte, error)) {
	defer close(d.ready)
	d.err = refuse(500, "the picture was not drawn", "ask again") // should draw panic
	d.b, d.err = draw()
}

// done says whether it stands already.
func (d *drawing) done() bool {
	select {
	case <-d.ready:
		return true
	default:
		return false
	}
}

func (v *view) key() string {
	return fmt.Sprintf("%s %d %g %s %s", v.name, v.wide, v.distance, v.vision, v.state)
}

// picture draws a picture, or gives the one that was drawn for this revision.
func (p *panel) picture(v view) (b []byte, tag string, err error) {
	p.bench.RLock()
	defer p.bench.RUnlock()
	key := v.key()
	p.mu.Lock()
	revision, small := p.drawn, p.small
	d := p.pictures[key]
	first := d == nil
	if first {
		d = newDrawing(v)
		p.pictures[key] = d
	}
	p.mu.Unlock()
	if first {
		defer p.weigh(key, d)
		d.make(func() ([]byte, error) { return p.draw(v, small) })
	}
	<-d.ready
	return d.b, fmt.Sprintf(`"%d"`, revision), d.err
}

// mostPictures is how many bytes of drawn pictures are kept for one revision: six
// shades in a few looks.
const mostPictures = 96 << 20

// weigh keeps a picture that stands, unless there are too many or it failed.
func (p *panel) weigh(key string, d *drawing) {
	p.mu.Lock()
	defer p.mu.Unlock()
	size := 0
	for _, o := range p.pictures {
		if o.done() {
			size += len(o.b)
		}
	}
	if (d.err != nil || size > mostPictures) && p.pictures[key] == d {
		delete(p.pictures, key)
	}
}

// mostAhead is how many pictures are drawn ahead: beside two processors that work
// anyway, more would only be late.
const mostAhead = 3

// ahead draws again what the page looks at, while the numbers of a change are being
// worked out: it will ask for it next. The map lies as it will; edit and bench are held.
func (p *panel) ahead(shades []grout.Shade, state grout.State) {
	p.mu.Lock()
	defer p.mu.Unlock()
	var now []*drawing
	for _, d := range p.pictures {
		if d.done() && d.err == nil && d.view.distance == 0 && (d.view.name == "gaps" || strings.HasPrefix(d.view.name, "shade-")) {
			now = append(now, d)
		}
	}
	paint, proof, were := p.found.Painter(), p.proof, p.paintings
	p.paintings = map[string]*painting{}
	if len(now) == 0 || len(now) > mostAhead || proof == nil || paint == nil {
		return // nobody looks, or at more than can be guessed
	}
	slices.SortFunc(now, func(a, b *drawing) int { return -cmp.Compare(a.view.key(), b.view.key()) }) // shades take longest
	p.next = map[string]*drawing{}
	for _, d := range now {
		v := d.view
		k := slices.IndexFunc(shades, func(s grout.Shade) bool { return v.name == "shade-"+s.ID })
		if k < 0 && v.name != "gaps" {
			continue
		}
		d, on := newDrawing(v), cmp.Or(were[v.key()], &painting{})
		p.next[v.key()] = d
		if k >= 0 {
			p.paintings[v.key()] = on
		}
		p.early.Go(func() {
			d.make(func() ([]byte, error) {
				if k < 0 {
					return encode(sheet.LayGaps(proof, gapColour, v.reduced(proof.Map.W)))
				}
				return v.encoded(on.brought(paint, shades[k], cmp.Or(v.state, state), v), 0)
			})
		})
	}
}

// sameLayers lets the layers stand when only the light was read anew: they show none.
// mu is held.
func (p *panel) sameLayers() {
	p.next = map[string]*drawing{}
	for key, d := range p.pictures {
		if !strings.HasPrefix(d.view.name, "shade-") && !strings.HasPrefix(d.view.name, "merged-") {
			p.next[key] = d
		}
	}
}

// painting is a shade as the page looks at it, kept from stroke to stroke.
type painting struct {
	full  *preview.Painting
	small *image.RGBA // of full; nil when it isn't reduced
}

// brought brings it up to the strokes and gives it at the width of a view.
func (p *painting) brought(paint preview.Painter, s grout.Shade, st grout.State, v view) *image.RGBA {
	was := p.full
	full, box := paint(was, s, st)
	p.full = full
	w := v.reduced(full.Image.Rect.Dx())
	switch {
	case w == 0:
		return full.Image
	case p.small == nil || full != was:
		p.small = sheet.Thumb(full.Image, full.Image.Rect, w, 0)
	default:
		sheet.Rethumb(p.small, full.Image, full.Image.Rect, box, 0)
	}
	return p.small
}
