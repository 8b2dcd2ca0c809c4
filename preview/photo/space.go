package photo

import (
	"errors"

	"gapshade/colormath/icc"
)

// space decides which colour space the code values are in, and says in words
// how that was decided. Order of trust: code points in the file (PNG cICP,
// HEIF nclx), the embedded profile, a PNG's own sRGB, gAMA and cHRM chunks,
// EXIF; and sRGB where nothing is said.
func space(h *header, x exifFacts) (*icc.Profile, string) {
	// Code points that are not understood (films of high dynamic range use
	// them) leave the word to a profile, if there is one.
	if h.points != nil {
		if p, err := icc.CodePoints(h.points.primaries, h.points.transfer); err == nil {
			return p, p.Title()
		} else if h.icc == nil {
			return declined(h, err)
		}
	}
	if h.icc != nil {
		p, err := icc.Parse(h.icc)
		if err != nil {
			return declined(h, err)
		}
		if p.Grey && !h.grey {
			return declined(h, errors.New("a colour profile for grey pictures"))
		}
		return p, p.Title()
	}
	switch {
	case h.broken:
		h.note("profile-broken", "the colour profile of the photo is damaged; sRGB is assumed")
		return nil, "sRGB (assumed)"
	case h.stated:
		return nil, "sRGB"
	case h.gamma != nil:
		return h.gamma, h.gamma.Title()
	case x.colourSpace == 1:
		return nil, "sRGB"
	case x.interopR03:
		return icc.AdobeRGB(), "Adobe RGB (1998) (by EXIF)"
	}
	h.note("profile-assumed", "the photo does not name its colour space; sRGB is assumed")
	return nil, "sRGB (assumed)"
}

// declined falls back to sRGB and says so.
func declined(h *header, err error) (*icc.Profile, string) {
	h.note("profile-declined", "the photo carries "+article(err)+"; sRGB is assumed instead")
	return nil, "sRGB (assumed)"
}

// article makes the reason fit into the sentence above.
func article(err error) string {
	var e *icc.Error
	if errors.As(err, &e) && e.Reason == icc.Broken {
		return "a " + e.Text
	}
	return err.Error()
}
