package segment

import (
	"context"
	"image"
	"slices"
)

// A stroke corrects the place where it was painted at once. Learning carries it over to
// places that look alike: the network looks at the view again, told of the strokes and of
// the colours under them, and the strokes are painted on what it says then. Whether the
// strokes came one by one or all at the start, the map is the same, to the last byte.

// answer is what the network says of the view, as far as the picture mends it.
type answer struct {
	told   int // of the first so many strokes, of which the last shows tile or gap
	tile   *plane
	own    *plane // before the picture taught it
	middle int    // area of the middle tile, view px²
}

// mostAnswers bounds the answers that are kept beside the one without strokes, so that
// strokes can be taken back at once: two planes of the view each. Who takes back more
// waits for another lesson.
const mostAnswers = 4

// Lesson is a look at the view with the strokes that were on the map when it was begun.
// It touches nothing of the analysis, so it may be studied on another goroutine while
// strokes are painted and taken off; it is then of no use any more and Take says so.
type Lesson struct {
	of      *Analysis
	ev      *evidence // a copy
	finder  *Finder
	threads int
	strokes []Stroke
	seen    *answer // nil until it was studied
}

// teaching is how many strokes there are up to the last that can teach: a stroke that
// shows outside says nothing of tiles and gaps. Two photos know better than any likeness
// of colours: there strokes count where they were painted, and none teaches.
func (a *Analysis) teaching() int {
	n := len(a.layers)
	for n > 0 && (a.ev.pair != nil || a.layers[n-1].stroke.Shows == ShowsOutside) {
		n--
	}
	return n
}

// Lesson begins a lesson; nil when there are no strokes that the network hasn't been
// told of.
func (a *Analysis) Lesson() *Lesson {
	n := a.teaching()
	if n == a.taught {
		return nil
	}
	ev := *a.ev
	return &Lesson{of: a, ev: &ev, finder: a.finder, threads: a.threads, strokes: a.Strokes()[:n]}
}

// Study has the network look. Errors are ctx's; the network then stops after the layer
// that it is at.
func (l *Lesson) Study(ctx context.Context) error {
	ev := l.ev
	ev.tile = l.finder.tilesUntil(ctx, ev.view, ev.cluesWith(l.strokes), l.threads)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	ev.byColour(l.threads)
	ev.tidy()
	l.seen = &answer{len(l.strokes), ev.tile, ev.own, ev.middle}
	return ctx.Err()
}

// Take makes the map anew from a lesson that was studied. It reports false, with nothing
// changed, when the strokes are no longer those that the lesson was told of.
func (a *Analysis) Take(l *Lesson) bool {
	if n := a.teaching(); l.of != a || l.seen == nil || n == a.taught || n != len(l.strokes) || !slices.EqualFunc(l.strokes, a.Strokes()[:n], sameStroke) {
		return false
	}
	if len(a.answers) > mostAnswers {
		a.answers = slices.Delete(a.answers, 1, 2) // never the one without strokes
	}
	a.answers = append(a.answers, l.seen)
	a.restart(l.seen)
	return true
}

func sameStroke(a, b Stroke) bool { return a.Shows == b.Shows && slices.Equal(a.Path, b.Path) }

// Learn lets the strokes on the map teach the network, when there are any that it hasn't
// been told of. It reports whether the map was made anew. Errors are ctx's, and then
// nothing has changed.
func (a *Analysis) Learn(ctx context.Context) (bool, error) {
	l := a.Lesson()
	if l == nil {
		return false, ctx.Err()
	}
	if err := l.Study(ctx); err != nil {
		return false, err
	}
	return a.Take(l), nil
}

// restart makes the map anew from an answer of the network, with all strokes painted on
// it.
func (a *Analysis) restart(from *answer) {
	a.ev.tile = &plane{from.tile.w, from.tile.h, slices.Clone(from.tile.v)}
	a.ev.own, a.ev.middle, a.taught = from.own, from.middle, from.told
	strokes := a.Strokes()
	a.ev.painted, a.layers, a.outside = nil, nil, nil
	for _, s := range strokes {
		a.paint(s)
	}
	a.redoAll()
}

// redoAll makes the map anew from what the network and the strokes say.
func (a *Analysis) redoAll() {
	a.within()
	a.pieces()
	a.border(a.all())
	a.m.letThrough(a.ev, a.threads)
}

// unlearn drops the answers that know of strokes which were taken off, and goes back to
// the last of the others. It returns the window that has changed.
func (a *Analysis) unlearn() image.Rectangle {
	a.answers = slices.DeleteFunc(a.answers, func(s *answer) bool { return s.told > len(a.layers) })
	a.restart(slices.MaxFunc(a.answers, func(s, o *answer) int { return s.told - o.told }))
	return a.all()
}
