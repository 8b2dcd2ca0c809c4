package photo

import "image"

// finish brings decoded pixels upright and into linear light.
func finish(format string, img image.Image, h *header, l Limits) (*Photo, error) {
	x := readExif(h.exif)
	profile, words := space(h, x)
	t := newTurn(orientation(h, x), h.w, h.h)
	p := &Photo{Format: format, Profile: words, W: t.w, H: t.h, profile: profile, threads: l.Threads}
	// Two ways: nearly every photo has 8 bits and no transparency, and its
	// codes serve twice, for the previews as they are and for linear light by
	// table. The rest goes straight into linear light, nothing rounded.
	if plain(img) {
		p.codes = uprightCodes(img, t, l.Threads)
		if !l.Lean {
			p.Picture = linearFromCodes(p.codes, profile, l.Threads)
		}
	} else {
		seen := false
		p.Picture, seen = linearFine(img, t, profile, l.Threads)
		if seen {
			h.note("see-through", "see-through parts of the picture are shown on white")
		}
	}
	p.Notes = h.notes
	return p, nil
}

// orientation gives 1…8. A value that makes no sense counts as upright, and
// the report says so.
func orientation(h *header, x exifFacts) int {
	if h.turn != 0 {
		return h.turn
	}
	if x.broken {
		h.note("orientation-unknown", "the photo's note on which way is up is damaged; it is taken as upright")
	}
	if x.orientation == 0 {
		return 1
	}
	return x.orientation
}
