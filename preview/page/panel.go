package page

import (
	"context"
	"encoding/json"
	"sync"
	"time"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/photo"
)

// keptVersion is of panel.json; another one is left alone.
const keptVersion = 1

// kept is what stays of a panel when the program ends.
type kept struct {
	Version  int         `json:"version"`
	Updated  time.Time   `json:"updated"`
	Photo    photoFacts  `json:"photo"`
	Second   *photoFacts `json:"second"`
	Settings settings    `json:"settings"`
	Strokes  []stroke    `json:"strokes"`
	Undone   []stroke    `json:"undone"` // last taken off last
	Zip      bool        `json:"zip"`    // whether the zip that lies there is of this state
}

// photoFacts are what is known of a photo once it was read.
type photoFacts struct {
	Name    string `json:"name"`
	Width   int    `json:"width"`
	Height  int    `json:"height"`
	Format  string `json:"format"`
	Profile string `json:"profile"`
	SHA256  string `json:"sha256"`
}

// photo is a photo without pixels, to hold settings against.
func (f photoFacts) photo() *photo.Photo {
	return &photo.Photo{Name: f.Name, W: f.Width, H: f.Height, Format: f.Format, Profile: f.Profile, SHA256: f.SHA256}
}

func factsOf(p *photo.Photo) photoFacts {
	return photoFacts{Name: p.Name, Width: p.W, Height: p.H, Format: p.Format, Profile: p.Profile, SHA256: p.SHA256}
}

// panel is one photo and what is done with it.
//
// Three locks, taken in this order: edit while something is changed, bench while the
// working picture is used (shared for drawing), mu for the few fields that tell how
// things stand.
type panel struct {
	s  *Server
	sh *shelf

	edit sync.Mutex

	bench sync.RWMutex
	found *preview.Bench // nil until the gaps are found
	basis basis          // what found was found by
	proof *preview.Proof // of found
	run   *folder.Run    // of proof; nil when the job can't be planned
	scale scale

	mu        sync.Mutex
	kept      kept
	gone      bool // deleted
	revision  int
	drawn     int           // the revision that pictures are of; none is drawn anew for numbers alone
	stale     bool          // seen is of an earlier state than what is kept
	changed   chan struct{} // closed at every change
	task      *task
	fault     *shown
	seen      seen               // what the proof tells
	rough     bool               // of light that was read before the last strokes
	small     *photo.Photo       // the working picture, once it was read
	second    *photo.Photo       // of the second photo
	learning  bool               // strokes are about to teach
	stopLater context.CancelFunc // of lesson and look from afar; nil when none is meant
	used      time.Time
	pictures  map[string]*drawing  // drawn for this revision
	next      map[string]*drawing  // drawn ahead, for the next one
	paintings map[string]*painting // what was drawn ahead, by the view
	early     sync.WaitGroup       // of those; they read the map, which no stroke may change meanwhile
}

// basis is what gaps are found by: a change of any of it needs a new search.
type basis struct {
	said   any
	second *photoFacts
}

func (k *kept) basis() basis { return basis{k.Settings.search(), k.Second} }

// seen is what a proof tells the page.
type seen struct {
	report  json.RawMessage
	corners corners
	free    bool      // there are no corners
	rings   [][]point // the outline of a free panel, and openings
	low     []box
	notes   []note
}

type note struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// box is a part of the photo.
type box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"w"`
	H float64 `json:"h"`
}

// task is work in progress.
type task struct {
	kind, stage string
	share       float64
	stop        context.CancelFunc
}

func (s *Server) newPanel(sh *shelf, k kept) *panel {
	return &panel{s: s, sh: sh, kept: k, revision: 1, drawn: 1, changed: make(chan struct{}), pictures: map[string]*drawing{}}
}

// now gives what is kept.
func (p *panel) now() kept {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.kept
}

// tell wakes everybody who waits. With a new revision all pictures are drawn anew.
// mu is held.
func (p *panel) tell(revised bool) {
	if revised {
		p.revision++
		p.drawn, p.pictures, p.next = p.revision, p.next, nil
		if p.pictures == nil {
			p.pictures = map[string]*drawing{}
		}
	}
	close(p.changed)
	p.changed = make(chan struct{})
}

// keep writes a changed panel before anything else is done with it; stale says that
// the numbers are then of an earlier state.
func (p *panel) keep(k kept, stale bool) error {
	if p.gone { // set with edit held, as here
		return noPanel()
	}
	k.Updated = time.Now().UTC().Truncate(time.Second)
	if err := p.sh.write(&k); err != nil {
		return err
	}
	p.mu.Lock()
	p.kept, p.stale = k, p.seen.report != nil && (stale || p.stale)
	p.mu.Unlock()
	return nil
}

// see tells what a proof says; pictures are drawn anew when they may have changed.
// mu is held.
func (p *panel) see(told seen, fault *shown, pictures bool) {
	p.seen, p.fault, p.stale = told, fault, false
	if !pictures {
		p.revision++
	}
	p.tell(pictures)
}

// wait returns when the panel is newer than a revision, when work on it has moved
// on, or when ctx ends.
func (p *panel) wait(ctx context.Context, after int) {
	p.mu.Lock()
	changed, newer := p.changed, p.revision > after
	p.mu.Unlock()
	if newer {
		return
	}
	select {
	case <-changed:
	case <-ctx.Done():
	}
}

// begin makes a task the panel's, in place of the one before; it waits for its turn.
// edit is held.
func (p *panel) begin(kind string) (context.Context, *task) {
	ctx, stop := context.WithCancel(p.s.work)
	t := &task{kind: kind, stage: "waiting", stop: stop}
	p.mu.Lock()
	if p.task != nil {
		p.task.stop()
	}
	p.task = t
	p.tell(false)
	p.mu.Unlock()
	return ctx, t
}

// progress says how far a task is.
func (p *panel) progress(t *task, stage string, share float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.task == t {
		t.stage, t.share = stage, share
		p.tell(false)
	}
}

// end ends a task, unless another one has taken its place; done says what came of
// it and runs with mu held.
func (p *panel) end(t *task, done func()) bool {
	t.stop()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.task != t {
		return false
	}
	p.task = nil
	done()
	p.tell(true)
	return true
}

// cancel stops the work in progress if it is of that kind.
func (p *panel) cancel(kind string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.task != nil && kind == p.task.kind {
		p.task.stop()
		p.task = nil
		p.tell(true)
	}
}

// stop gives up the work in progress and says so, unless there is an earlier answer
// to go on with. It is one step: a look at the panel in between would start anew.
func (p *panel) stop() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.task == nil {
		return
	}
	if p.task.kind == "gaps" && p.seen.report == nil {
		p.fault = &shown{What: "the search for gaps was stopped", Next: "change a setting to start it again", Code: preview.CodeInterrupted}
	}
	p.task.stop()
	p.task = nil
	p.tell(true)
}

// drop stops everything and deletes the panel.
func (p *panel) drop() error {
	p.edit.Lock()
	defer p.edit.Unlock()
	p.stop()
	p.mu.Lock()
	p.gone = true
	p.mu.Unlock()
	return p.sh.remove()
}

// rest lets go of what can be made again.
func (p *panel) rest() {
	p.edit.Lock()
	defer p.edit.Unlock()
	p.bench.Lock()
	defer p.bench.Unlock()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.task != nil {
		return
	}
	p.stopWork()
	p.found, p.proof, p.run, p.small, p.second = nil, nil, nil, nil, nil
	p.early.Wait()
	p.seen, p.stale, p.pictures, p.paintings = seen{}, false, map[string]*drawing{}, nil
}
