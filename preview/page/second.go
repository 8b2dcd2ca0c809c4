package page

import (
	"cmp"
	"context"
)

// setSecond takes a second photo of the same layout on another paper.
func (p *panel) setSecond(ctx context.Context, f *form) error {
	return p.s.decoding.do(ctx, func() error {
		ph, err := readPhoto(ctx, cmp.Or(f.name, "second photo"), f.photo)
		if err != nil {
			return err
		}
		facts := factsOf(ph)
		return p.change(func(k *kept) error {
			s, err := k.Settings.full(k.Photo)
			if err != nil {
				return err
			}
			s.Second = ph
			if err := s.Validate(k.Photo.photo()); err != nil {
				return err
			}
			if err := p.sh.adopt(f.photo, secondName); err != nil {
				return err
			}
			p.mu.Lock()
			p.second = ph.Smaller(workingPx)
			p.mu.Unlock()
			k.Second = &facts
			return nil
		})
	})
}

// noSecond takes the second photo off; without one, nothing happens.
func (p *panel) noSecond() error {
	return p.change(func(k *kept) error {
		k.Second = nil
		p.mu.Lock()
		p.second = nil
		p.mu.Unlock()
		return nil
	})
}
