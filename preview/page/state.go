package page

import (
	"encoding/json"

	"gapshade/preview/photo"
)

// state is a panel as the page sees it.
type state struct {
	ID       string          `json:"id"`
	Title    string          `json:"title"`
	Revision int             `json:"revision"`
	Photo    photoState      `json:"photo"`
	Second   *photoFacts     `json:"second"`
	Settings settings        `json:"settings"`
	Strokes  strokesState    `json:"strokes"`
	Task     *taskState      `json:"task"`
	Stale    bool            `json:"stale"`    // the report is of an earlier state of strokes and settings
	Rough    bool            `json:"rough"`    // shades are drawn anew when the light was read after the last strokes
	Learning bool            `json:"learning"` // places that look like what strokes showed are still to follow
	Fault    *shown          `json:"fault"`
	Notes    []note          `json:"notes"`
	Corners  *corners        `json:"corners"` // as said, or as found; null until then, and when a panel was found that has none
	Rings    [][]point       `json:"rings"`   // the outline of such a panel, and openings in any that was found
	Report   json.RawMessage `json:"report"`
	Low      []box           `json:"low"`
	ZipReady bool            `json:"zip_ready"`
}

type photoState struct {
	photoFacts
	Working [2]int `json:"working"`
}

type strokesState struct {
	Count int  `json:"count"`
	Undo  bool `json:"undo"`
	Redo  bool `json:"redo"`
}

type taskState struct {
	Kind  string  `json:"kind"`
	Stage string  `json:"stage"`
	Share float64 `json:"share"`
}

// title is what a panel is called in a list.
func (k *kept) title() string {
	if k.Settings.Title != "" {
		return k.Settings.Title
	}
	return k.Photo.Name
}

// workingSize is the size of the working picture of a photo, px.
func workingSize(w, h int) [2]int {
	sw, sh := photo.SmallerSize(w, h, workingPx)
	return [2]int{sw, sh}
}

// state tells how things stand.
func (p *panel) state() *state {
	p.mu.Lock()
	defer p.mu.Unlock()
	k := &p.kept
	s := &state{ID: p.sh.id, Title: k.title(), Revision: p.revision, Second: k.Second, Settings: k.Settings, Stale: p.stale, Rough: p.rough, Learning: p.learning, Fault: p.fault,
		Photo:   photoState{k.Photo, workingSize(k.Photo.Width, k.Photo.Height)},
		Strokes: strokesState{len(k.Strokes), len(k.Strokes) > 0, len(k.Undone) > 0},
		Notes:   p.seen.notes, Low: p.seen.low, Report: p.seen.report, ZipReady: k.Zip}
	if s.Notes == nil {
		s.Notes, s.Low = []note{}, []box{}
	}
	switch {
	case k.Settings.Corners != nil:
		s.Corners = k.Settings.Corners
	case s.Report != nil && !p.seen.free:
		c := p.seen.corners
		s.Corners = &c
	}
	if s.Rings = p.seen.rings; s.Rings == nil || k.Settings.Corners != nil {
		s.Rings = [][]point{}
	}
	if t := p.task; t != nil {
		s.Task = &taskState{t.kind, t.stage, t.share}
	}
	return s
}

// listed is a panel in the list of all.
type listed struct {
	ID      string `json:"id"`
	Title   string `json:"title"`
	Name    string `json:"name"`
	Width   int    `json:"width"`
	Height  int    `json:"height"`
	Updated string `json:"updated"`
	Stage   string `json:"stage"` // of the work in progress, else asleep, ready or fault
}

func (p *panel) listed() listed {
	p.mu.Lock()
	defer p.mu.Unlock()
	k := &p.kept
	l := listed{ID: p.sh.id, Title: k.title(), Name: k.Photo.Name, Width: k.Photo.Width, Height: k.Photo.Height,
		Updated: k.Updated.Format("2006-01-02T15:04:05Z07:00"), Stage: "asleep"}
	switch {
	case p.task != nil:
		l.Stage = p.task.stage
	case p.fault != nil:
		l.Stage = "fault"
	case p.seen.report != nil:
		l.Stage = "ready"
	}
	return l
}
