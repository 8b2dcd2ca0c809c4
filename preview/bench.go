package preview

import (
	"context"
	"slices"
	"sync"

	"gapshade/preview/photo"
	"gapshade/segment"
)

// Bench is a photo whose gaps were found once, on which strokes, shades, aim and
// distances can change without finding them again. What it gives is what Make gives
// for the same photo and settings, byte for byte.
//
// A bench is for one goroutine at a time. A stroke changes the map in place, so a
// proof must not be used any more once the next stroke is made.
type Bench struct {
	start Proof  // the proof as it stands when the gaps are found
	proof *Proof // the last one, nil after a stroke
	whole bool   // it knows what is seen from a distance
	view  *view
	found *segment.Analysis
	ahead sync.WaitGroup // drawings in preparation, which read the map
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
	o.Second = p.second(b.view)
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

// Near gives the answer as things stand, at once, and whether it is whole: what is
// seen from a distance takes as long as all the rest, and is there only when Proof
// was called since the last stroke.
func (b *Bench) Near() (p *Proof, whole bool) {
	if b.proof == nil {
		p := b.start
		p.Notes = slices.Clip(p.Notes) // the next proof begins with the same ones
		p.near(b.view, b.ahead.Go)
		b.proof, b.whole = &p, false
	}
	return b.proof, b.whole
}

// Proof gives the whole answer. Errors are ctx's.
func (b *Bench) Proof(ctx context.Context) (*Proof, error) {
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

// Stroke puts one more stroke on the map, in px of the upright photo.
func (b *Bench) Stroke(s segment.Stroke) error {
	b.ahead.Wait()
	if _, err := b.found.Stroke(moved([]segment.Stroke{s}, b.view.toFrame)[0]); err != nil {
		return usage("a stroke that can't be painted: %v", "paint again", err)
	}
	b.start.Settings.Marks = append(slices.Clip(b.start.Settings.Marks), s)
	b.proof = nil
	return nil
}

// Undo takes the last stroke off again and reports whether there was one.
func (b *Bench) Undo() bool {
	b.ahead.Wait()
	if _, ok := b.found.Undo(); !ok {
		return false
	}
	marks := b.start.Settings.Marks
	b.start.Settings.Marks, b.proof = marks[:len(marks)-1], nil
	return true
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
	if now.Joint.drawn() != was.Joint.drawn() || now.Job.ThicknessMm != was.Job.ThicknessMm || now.Job.Material != was.Job.Material {
		b.proof = nil // the joint lies otherwise
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
