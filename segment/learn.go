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

// lesson is the network's answer with so many strokes told.
type lesson struct {
	strokes int
	tile    *plane
}

// mostLessons bounds the answers that are kept so that strokes can be taken back.
const mostLessons = 6

// Learn lets the strokes on the map teach the network, when there are any that it hasn't
// been told of. It reports whether the map was made anew. Two photos know better than
// any likeness of colours: there strokes count where they were painted.
// Errors are ctx's, and then nothing has changed.
func (a *Analysis) Learn(ctx context.Context) (bool, error) {
	if a.taught == len(a.layers) || a.ev.pair != nil {
		return false, ctx.Err()
	}
	tile, err := a.lesson(ctx, len(a.layers))
	if err != nil {
		return false, err
	}
	strokes := a.Strokes()
	a.begin(tile, len(strokes))
	for _, s := range strokes {
		a.paint(s)
	}
	a.redoAll()
	return true, nil
}

// begin puts the map back to an answer of the network, without any stroke painted.
func (a *Analysis) begin(tile *plane, taught int) {
	a.ev.tile = &plane{tile.w, tile.h, slices.Clone(tile.v)}
	a.ev.painted, a.layers, a.outside, a.taught = nil, nil, nil, taught
}

// redoAll makes the map anew from the network's answer.
func (a *Analysis) redoAll() {
	a.within()
	a.pieces()
	a.border(a.all())
	a.m.letThrough(a.ev, a.threads)
}

// lesson is what the network says when it is told of the first n strokes.
func (a *Analysis) lesson(ctx context.Context, n int) (*plane, error) {
	for _, l := range a.lessons {
		if l.strokes == n {
			return l.tile, nil
		}
	}
	marks := a.ev.marks(a.Strokes()[:n])
	if marks == nil {
		return a.lessons[0].tile, nil // nothing was said of tiles or gaps
	}
	ev := *a.ev
	ev.tile = a.finder.tiles(ev.view, clues{bed: a.ev.bed, pattern: a.ev.pattern, marks: marks}, a.threads)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	ev.byColour(a.threads)
	ev.tidy()
	if len(a.lessons) > mostLessons {
		a.lessons = slices.Delete(a.lessons, 1, 2) // never the one without strokes
	}
	a.lessons = append(a.lessons, lesson{n, ev.tile})
	return ev.tile, nil
}

// unlearn goes back to the last answer of the network that knew none but the strokes that
// are left, and paints the others on it.
func (a *Analysis) unlearn() image.Rectangle {
	last, strokes := a.lessons[0], a.Strokes()
	for _, l := range a.lessons {
		if l.strokes > last.strokes {
			last = l
		}
	}
	a.begin(last.tile, last.strokes)
	for _, s := range strokes {
		a.paint(s)
	}
	a.redoAll()
	return a.all()
}

// forget drops the lessons that told of a stroke which is taken off.
func (a *Analysis) forget() {
	a.lessons = slices.DeleteFunc(a.lessons, func(l lesson) bool { return l.strokes > len(a.layers) })
}
