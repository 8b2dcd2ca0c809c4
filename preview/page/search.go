package page

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"time"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/photo"
	"gapshade/preview/report"
	"gapshade/segment"
)

// workingPx is how large the picture is that a panel is worked on: at this size a
// stroke is answered at once, and a screen shows no more.
const workingPx = 2_000_000

// decodeTime is how long a photo may take to be read, that none keeps others out.
const decodeTime = 20 * time.Second

// readPhoto reads a photo whole; name is only what people read.
func readPhoto(ctx context.Context, name string, r io.Reader) (*photo.Photo, error) {
	ctx, stop := context.WithTimeout(ctx, decodeTime)
	defer stop()
	ph, err := photo.Open(ctx, name, r, photo.Limits{Lean: true})
	if err != nil {
		return nil, preview.FromPhoto(err)
	}
	return ph, nil
}

// readKept reads a photo of the panel's folder.
func (p *panel) readKept(ctx context.Context, file, name string) (*photo.Photo, error) {
	f, err := p.sh.dir.Open(file)
	if err != nil {
		return nil, p.s.store.fault(err)
	}
	defer f.Close()
	return readPhoto(ctx, name, f)
}

// readSmall reads it at working size, when no other photo is held whole.
func (p *panel) readSmall(ctx context.Context, file, name string) (small *photo.Photo, err error) {
	err = p.s.decoding.await(ctx, func() error {
		ph, err := p.readKept(ctx, file, name)
		if err == nil {
			small = ph.Smaller(workingPx)
		}
		return err
	})
	return small, err
}

// wake starts the search for gaps where none was done and nothing else is in the
// way: the first time a panel is looked at, or when it had to rest.
func (p *panel) wake() {
	if !p.idle() {
		return
	}
	p.edit.Lock()
	defer p.edit.Unlock()
	if p.idle() {
		p.search()
	}
}

func (p *panel) idle() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.used = time.Now()
	return p.seen.report == nil && p.task == nil && p.fault == nil && !p.gone
}

// search finds the gaps anew, in the background. edit is held.
func (p *panel) search() {
	ctx, t := p.begin("gaps")
	p.s.working.Go(func() {
		defer p.s.others(p)
		err := p.s.heavy.await(ctx, func() error { return p.find(ctx, t) })
		if err == nil {
			return
		}
		p.end(t, func() {
			if !errors.Is(err, context.Canceled) {
				f, _, _ := show(err)
				p.fault = &f
			}
		})
	})
}

// find is the search.
func (p *panel) find(ctx context.Context, t *task) error {
	k := p.now()
	p.progress(t, "reading", 0)
	small, second, err := p.workingPhotos(ctx, &k)
	if err != nil {
		return err
	}
	p.progress(t, "finding", .2)
	s, err := k.Settings.full(k.Photo)
	if err != nil {
		return err
	}
	sc := scaleOf(k.Photo)
	sc.apply(&s)
	s.Straighten = false // the page shows the photo as it is; only the zip is straightened
	if s.Second = second; second == nil {
		s.SecondBed = preview.Bed{}
	}
	for _, k := range k.Strokes {
		s.Marks = append(s.Marks, sc.stroke(k))
	}
	b, err := preview.Prepare(ctx, small, s)
	if err != nil {
		return err
	}
	p.progress(t, "measuring", .8)
	if _, err := b.Proof(ctx); err != nil { // here, while nobody waits for the panel's locks
		return err
	}
	return p.place(ctx, t, b, k.basis(), sc)
}

// overtaken says whether a piece of work is no longer the one that is wanted.
func (p *panel) overtaken(t *task) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.task != t
}

// place puts a bench in place, together with what was changed meanwhile.
func (p *panel) place(ctx context.Context, t *task, b *preview.Bench, by basis, sc scale) error {
	p.edit.Lock()
	defer p.edit.Unlock()
	if p.overtaken(t) {
		return context.Canceled
	}
	p.bench.Lock()
	defer p.bench.Unlock()
	p.found, p.basis, p.scale = b, by, sc
	told, fault, err := p.catchUp()
	if err == nil {
		told, fault, err = p.wholly(ctx)
	}
	if err != nil {
		p.found = nil
		return err
	}
	p.end(t, func() { p.seen, p.fault, p.stale, p.rough, p.learning = told, fault, false, false, false })
	return nil
}

// workingPhotos are the photos at working size, read when they are not at hand.
func (p *panel) workingPhotos(ctx context.Context, k *kept) (small, second *photo.Photo, err error) {
	p.mu.Lock()
	small, second = p.small, p.second
	p.mu.Unlock()
	if small == nil {
		if small, err = p.readSmall(ctx, photoName, k.Photo.Name); err != nil {
			return nil, nil, err
		}
	}
	if k.Second == nil {
		second = nil
	} else if second == nil {
		if second, err = p.readSmall(ctx, secondName, k.Second.Name); err != nil {
			return nil, nil, err
		}
	}
	p.mu.Lock()
	p.small, p.second = small, second
	p.mu.Unlock()
	return small, second, nil
}

// catchUp brings the bench to what is kept and tells what it says then, from near;
// fault is about the job alone. bench is held.
func (p *panel) catchUp() (told seen, fault *shown, err error) {
	p.early.Wait()
	p.mu.Lock()
	k := p.kept
	p.next = nil
	p.mu.Unlock()
	var want []segment.Stroke
	for _, s := range k.Strokes {
		want = append(want, p.scale.stroke(s))
	}
	have := p.found.Strokes()
	n := 0
	for n < min(len(have), len(want)) && sameStroke(have[n], want[n]) {
		n++
	}
	for range len(have) - n {
		p.found.Undo()
	}
	for _, s := range want[n:] {
		if err := p.found.Stroke(s); err != nil {
			return told, nil, err
		}
	}
	s, err := k.Settings.full(k.Photo)
	if err != nil {
		return told, nil, err
	}
	if err := p.found.Try(s); err != nil {
		return told, nil, err
	}
	p.ahead(s.Shades, s.Joint.State)
	p.proof, _ = p.found.Near()
	return p.report()
}

// wholly tells what the bench says from all distances.
func (p *panel) wholly(ctx context.Context) (told seen, fault *shown, err error) {
	if p.proof, err = p.found.Proof(ctx); err != nil {
		return told, nil, err
	}
	return p.report()
}

// report fills the report from the proof and plans the job.
func (p *panel) report() (told seen, fault *shown, err error) {
	r := report.FromProof(p.proof, nil)
	if p.run, err = folder.New(p.proof); err != nil {
		f, _, _ := show(err)
		p.run, fault = nil, &f
	} else {
		r = p.run.Report
	}
	told, err = p.told(&r)
	return told, fault, err
}

func sameStroke(a, b segment.Stroke) bool {
	return a.Shows == b.Shows && slices.Equal(a.Path, b.Path)
}

// ring is an outline in px of the photo.
func (p *panel) ring(pts []segment.Point) []point {
	out := make([]point, len(pts))
	for i, c := range pts {
		out[i][0], out[i][1] = p.scale.up(c.X, c.Y)
	}
	return out
}

// told puts a proof into what the page is told. Places are px of the photo.
func (p *panel) told(r *report.Report) (t seen, err error) {
	if t.report, err = json.Marshal(r); err != nil {
		return t, err
	}
	for i, c := range p.proof.Frame.Panel {
		t.corners[i][0], t.corners[i][1] = p.scale.up(c.X, c.Y)
	}
	f := &p.proof.Frame
	t.free = f.Free
	if f.Free {
		t.rings = append(t.rings, p.ring(f.Outline))
	}
	for _, hole := range f.Holes {
		t.rings = append(t.rings, p.ring(hole))
	}
	t.low, t.notes = []box{}, []note{}
	for _, w := range p.proof.Map.Sure.Weak(preview.GoodConfidence) {
		k := p.scale.factor
		t.low = append(t.low, box{k * float64(w.Box.Min.X), k * float64(w.Box.Min.Y), k * float64(w.Box.Dx()), k * float64(w.Box.Dy())})
	}
	for _, n := range p.proof.Notes {
		t.notes = append(t.notes, note(n))
	}
	return t, nil
}
