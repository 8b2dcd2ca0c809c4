package page

import (
	"fmt"
	"math"
	"slices"

	"gapshade/segment"
)

// stroke is a correction as it was painted on the page, px of the photo.
type stroke struct {
	Mark   string  `json:"mark"`
	Radius float64 `json:"radius"`
	Points []point `json:"points"`
}

// shows is what each mark says.
var shows = map[string]segment.Shows{"gap": segment.ShowsGap, "tile": segment.ShowsTile, "outside": segment.ShowsOutside}

// More strokes than a hand paints, and points than one movement has; as many strokes
// as marks are read from a picture.
const mostStrokes, mostPoints = 2000, 4000

// check refuses what can't be painted on a photo.
func (s *stroke) check(of photoFacts) error {
	if shows[s.Mark] == 0 {
		return misread(fmt.Sprintf("a stroke can't show %q", s.Mark), "paint gap, tile or outside")
	}
	if n := len(s.Points); n == 0 || n > mostPoints {
		return misread(fmt.Sprintf("a stroke of %d points can't be painted", n), fmt.Sprintf("paint 1 to %d points", mostPoints))
	}
	w, h := float64(of.Width), float64(of.Height)
	if !(s.Radius > 0 && s.Radius <= max(w, h)) {
		return misread(fmt.Sprintf("a brush of radius %g px can't be painted with", s.Radius), "use a brush smaller than the photo")
	}
	for _, p := range s.Points {
		// A movement may end beside the photo, not far away from it.
		if !(math.Abs(p[0]-w/2) <= w && math.Abs(p[1]-h/2) <= h) {
			return misread("a stroke leaves the photo", "paint on the photo")
		}
	}
	return nil
}

// change changes what is kept and then the rest to match. what gives the new state
// or refuses; nothing has changed then.
func (p *panel) change(what func(k *kept) error) error {
	p.putOff()
	p.edit.Lock()
	defer p.edit.Unlock()
	was := p.now()
	k := was
	err := what(&k)
	if err == nil {
		k.Zip = false
		err = p.keep(k, true)
	}
	if err != nil {
		p.carryOn()
		return err
	}
	p.cancel("zip")
	p.sh.dir.Remove(zipName)
	other := k.basis() != was.basis()
	if other || p.found == nil || p.basis != k.basis() { // a search that was stopped leaves an older bench
		p.again(other)
		return nil
	}
	p.bench.Lock()
	defer p.bench.Unlock()
	if err = p.follow(); err != nil {
		p.takeBack(was)
	}
	return err
}

// carryOn goes on with what a change has stopped that was then refused. edit is held.
func (p *panel) carryOn() {
	k := p.now()
	if p.found == nil || p.basis != k.basis() {
		return
	}
	p.bench.Lock()
	defer p.bench.Unlock()
	p.later()
}

// follow brings the bench to what is kept and tells what it says then. edit and bench
// are held.
func (p *panel) follow() error {
	told, fault, err := p.catchUp()
	if err != nil {
		return err
	}
	p.later()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.rough = !p.found.Fresh()
	p.see(told, fault, true)
	return nil
}

// takeBack undoes a change that the bench has refused: nothing of it is kept, and the
// bench is as before. Where even that fails, the gaps are found anew from what is
// kept. edit and bench are held.
func (p *panel) takeBack(was kept) {
	was.Zip = false // it is gone already
	if p.keep(was, true) == nil && p.follow() == nil {
		return
	}
	p.found, p.proof, p.run = nil, nil, nil
	p.again(true)
}

// again begins a search, unless one is under way and will catch up with the change
// at its end.
func (p *panel) again(other bool) {
	p.mu.Lock()
	p.fault = nil
	p.tell(true)
	busy := p.task != nil
	p.mu.Unlock()
	if other || !busy {
		p.search()
	}
}

// paint adds a stroke.
func (p *panel) paint(s stroke) error {
	return p.change(func(k *kept) error {
		if err := s.check(k.Photo); err != nil {
			return err
		}
		if len(k.Strokes) >= mostStrokes {
			return misread(fmt.Sprintf("there are %d strokes already, as many as are followed", mostStrokes), "take some off, or mark the corners anew")
		}
		k.Strokes, k.Undone = append(slices.Clip(k.Strokes), s), nil
		return nil
	})
}

// undo takes the last stroke off; without one, nothing happens.
func (p *panel) undo() error {
	return p.change(func(k *kept) error {
		if n := len(k.Strokes); n > 0 {
			k.Undone = append(slices.Clip(k.Undone), k.Strokes[n-1])
			k.Strokes = k.Strokes[:n-1]
		}
		return nil
	})
}

// redo puts it on again.
func (p *panel) redo() error {
	return p.change(func(k *kept) error {
		if n := len(k.Undone); n > 0 {
			k.Strokes = append(slices.Clip(k.Strokes), k.Undone[n-1])
			k.Undone = k.Undone[:n-1]
		}
		return nil
	})
}

// set changes settings.
func (p *panel) set(read func(s *settings) error) error {
	return p.change(func(k *kept) error {
		s := k.Settings
		if s.Corners != nil { // what is kept stays as it is until all is well
			c := *s.Corners
			s.Corners = &c
		}
		s.Shades = slices.Clone(s.Shades)
		if err := read(&s); err != nil {
			return err
		}
		if len(s.Shades) == 0 {
			s.Shades = plainSettings().Shades
		}
		if _, err := s.full(k.Photo); err != nil {
			return err
		}
		k.Settings = s
		return nil
	})
}
