package preview

import (
	"context"
	"image"
	"slices"
	"sync"

	"gapshade/preview/grout"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Bench is a photo whose gaps were found once, on which strokes, shades, aim and
// distances can change without finding them again. What Proof gives is what Make gives
// for the same photo and settings, byte for byte.
//
// A bench is for one goroutine at a time. A stroke changes the map and the drawing in
// place, so a proof must not be used any more once the next stroke is made.
type Bench struct {
	start Proof  // the proof as it stands when the gaps are found
	proof *Proof // the last one, nil after a stroke
	whole bool   // it knows what is seen from a distance
	view  *view
	found *segment.Analysis

	read    *readings // of the photo; nil = not yet
	aged    bool      // there were strokes since
	drawing *drawing  // under that light; nil = not yet
}

// drawing is a fill that is being prepared or brought up to a stroke, beside the
// numbers.
type drawing struct {
	filler  *grout.Filler
	work    sync.WaitGroup
	renewed []image.Rectangle // the boxes of the picture that strokes have changed
}

func (d *drawing) fill() *grout.Fill {
	d.work.Wait()
	return d.filler.Fill
}

// Prepare finds the gaps: all of the main job that takes long. Errors are *Fault,
// or ctx's error when cancelled.
func Prepare(ctx context.Context, ph *photo.Photo, s Settings) (*Bench, error) {
	if err := s.Validate(ph); err != nil {
		return nil, err
	}
	b := &Bench{start: Proof{Settings: s, Photo: ph}}
	p := &b.start
	finder, err := segment.NewFinder()
	if err != nil {
		return nil, err
	}
	if b.view, err = p.look(ctx, finder); err != nil {
		return nil, err
	}
	s.Corners, s.Marks = b.view.panel, moved(s.Marks, b.view.toFrame) // from here on all is in the frame
	o := s.options()
	o.Holes, o.Second = b.view.holes, p.second(b.view)
	if b.found, err = finder.Analyse(ctx, b.view.pic, o); err != nil {
		return nil, faultOf(err)
	}
	p.Map = b.found.Map()
	if err := p.orderOfBeds(); err != nil {
		return nil, err
	}
	p.Frame = newFrame(b.view, p.Map, s)
	p.letSecondGo()
	return b, nil
}

// Near gives the answer as things stand, at once, and whether it is Proof's. After a
// stroke it is not: light and quality of the photo stand as they were read before,
// because no stroke changes them much and reading them takes as long as all the rest;
// what is seen from a distance is missing; and places that look like what was painted
// over don't follow before Learn. On five path-traced panels, twelve
// strokes each, no score was off by a tenth; pixels of the drawing that differ at all
// did so by ΔE00 .6 to 1.9 in the mean, most where the lamp on a black bed was read anew.
func (b *Bench) Near() (p *Proof, whole bool) {
	if b.proof == nil {
		p := b.start
		p.Notes = slices.Clip(p.Notes) // the next proof begins with the same ones
		if b.read == nil {
			b.read, b.aged = p.read(b.view), false
		}
		if b.drawing == nil {
			b.drawing = b.draw(p, b.read)
		}
		p.fill = b.drawing.fill
		p.near(b.view, b.read)
		b.proof, b.whole = &p, false
	}
	return b.proof, b.whole
}

// draw begins a drawing.
func (b *Bench) draw(p Proof, r *readings) *drawing {
	d := &drawing{}
	d.work.Go(func() { d.filler, _ = p.filler(context.Background(), b.view, r) }) // nothing stops it
	return d
}

// Lesson begins a lesson for the strokes that have taught nothing yet; nil when there
// are none. It may be studied on another goroutine, and strokes made meanwhile.
func (b *Bench) Lesson() *segment.Lesson { return b.found.Lesson() }

// Learn brings the map up to a lesson that was studied. It reports false, with nothing
// changed, when the lesson is of other strokes than those that are on the map now. All
// of the map may have changed; the drawing is begun anew, so the one that was there
// stays as it is for whoever still uses it.
func (b *Bench) Learn(l *segment.Lesson) bool {
	if !b.take(l) {
		return false
	}
	if b.read != nil {
		b.drawing = b.draw(b.start, b.read)
	}
	return true
}

// take is Learn without a drawing.
func (b *Bench) take(l *segment.Lesson) bool {
	b.settle()
	if !b.found.Take(l) {
		return false
	}
	b.proof, b.aged, b.drawing = nil, true, nil
	return true
}

// Proof gives the whole answer, in which the strokes have taught what they can. Errors
// are ctx's.
func (b *Bench) Proof(ctx context.Context) (*Proof, error) {
	if l := b.Lesson(); l != nil {
		if err := l.Study(ctx); err != nil {
			return nil, err
		}
		b.take(l)
	}
	if err := b.refresh(ctx); err != nil {
		return nil, err
	}
	if now, whole := b.Near(); !whole {
		p := *now
		p.Trials = slices.Clone(p.Trials) // the other proof stays as it was
		if err := p.far(ctx); err != nil {
			return nil, err
		}
		b.proof, b.whole = &p, true
	}
	return b.proof, nil
}

// refresh reads the photo anew when strokes were made since. The drawing that was there
// stays as it is for whoever still uses it.
func (b *Bench) refresh(ctx context.Context) error {
	if !b.aged || b.read == nil {
		return ctx.Err()
	}
	r := b.start.read(b.view)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	filler, err := b.start.filler(ctx, b.view, r)
	if err != nil {
		return err
	}
	b.read, b.drawing, b.aged, b.proof = r, &drawing{filler: filler}, false, nil
	return nil
}

// Fresh says whether the photo was read since the last stroke.
func (b *Bench) Fresh() bool { return !b.aged }

// Stroke puts one more stroke on the map, in px of the upright photo.
func (b *Bench) Stroke(s segment.Stroke) error {
	b.settle()
	win, err := b.found.Stroke(moved([]segment.Stroke{s}, b.view.toFrame)[0])
	if err != nil {
		return usage("a stroke that can't be painted: %v", "paint again", err)
	}
	b.start.Settings.Marks = append(slices.Clip(b.start.Settings.Marks), s)
	b.changed(win)
	return nil
}

// Undo takes the last stroke off again and reports whether there was one.
func (b *Bench) Undo() bool {
	b.settle()
	win, ok := b.found.Undo()
	if !ok {
		return false
	}
	marks := b.start.Settings.Marks
	b.start.Settings.Marks = marks[:len(marks)-1]
	b.changed(win)
	return true
}

// settle waits for work that reads the map.
func (b *Bench) settle() {
	if b.drawing != nil {
		b.drawing.work.Wait()
	}
}

// changed brings the drawing up to a map that has changed in a window.
func (b *Bench) changed(win image.Rectangle) {
	b.proof, b.aged = nil, true
	if d := b.drawing; d != nil && !win.Empty() {
		d.work.Go(func() { d.renewed = append(d.renewed, d.filler.Renew(win)) })
	}
}

// Strokes are the strokes on the map, oldest first, px of the upright photo.
func (b *Bench) Strokes() []segment.Stroke { return b.start.Settings.Marks }

// Try takes over what s says about shades, aim, distances, the rest of the job and
// the heading; everything else stays as it was prepared. Errors are *Fault, and
// then nothing has changed.
func (b *Bench) Try(s Settings) error {
	was := b.start.Settings
	now := was
	now.Shades, now.Aim, now.DistancesM, now.Joint, now.Job, now.Start, now.Title = s.Shades, s.Aim, s.DistancesM, s.Joint, s.Job, s.Start, s.Title
	now.SecondBed = Bed{} // it was checked against a photo that is gone
	if err := now.Validate(b.start.Photo); err != nil {
		return err
	}
	now.SecondBed = was.SecondBed
	b.start.Settings = now
	if now.Joint.drawn() != was.Joint.drawn() || now.Job.ThicknessMm != was.Job.ThicknessMm || now.Job.Material != was.Job.Material || now.Job.Grouted != was.Job.Grouted {
		b.proof, b.drawing = nil, nil // the joint lies otherwise
	}
	if b.proof == nil {
		return nil
	}
	p := *b.proof
	p.Settings, p.Notes = now, slices.Clip(p.Notes[:p.untied])
	if !slices.Equal(was.DistancesM, now.DistancesM) {
		p.views, b.whole = nil, false
	}
	p.rank()
	b.proof = &p
	return nil
}
