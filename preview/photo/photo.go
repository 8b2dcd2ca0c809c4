package photo

import (
	"image"
	"sync"

	"gapshade/colormath"
	"gapshade/colormath/icc"
)

// Photo is a photo as read: upright, in linear light.
type Photo struct {
	Name    string // base name of the file, no folder
	Format  string // "jpeg", "png", "webp", "tiff", "bmp", "heic"
	Profile string // plain words, such as "sRGB (assumed)" or "Display P3"
	SHA256  string // of the file's bytes, hex
	W, H    int    // upright, px

	// Picture is linear light on sRGB primaries, unclipped, upright. It is
	// nil only when Limits.Lean asked for that.
	Picture *colormath.Picture

	Notes []Note // what was assumed, repaired or left out, in reading order

	// codes are the upright 8-bit code values in the photo's own space; nil
	// when the source was finer than that or see-through.
	codes   *image.RGBA
	profile *icc.Profile
	threads int

	once sync.Once
	rgba *image.RGBA
}

// Note is a remark for the report.
type Note struct {
	Code string // fixed, for machines, such as "profile-assumed"
	Text string // plain words, no full stop
}

// RGBA gives the upright photo as 8-bit sRGB, clipped to sRGB's gamut, every
// pixel opaque. For 8-bit sRGB files these are exactly the decoded values and
// cost nothing; otherwise they are made at the first call. The image is
// shared: callers copy before they paint on it.
func (p *Photo) RGBA() *image.RGBA {
	p.once.Do(func() {
		switch {
		case p.codes == nil:
			p.rgba = Encode(p.Picture, p.threads)
		case p.profile.SRGB():
			p.rgba = p.codes
		default:
			p.rgba = encodeCodes(p.codes, p.profile, p.threads)
		}
	})
	return p.rgba
}

// Linear gives Picture, made now from the code values when Limits.Lean left
// it out. The result is not kept.
func (p *Photo) Linear() *colormath.Picture {
	if p.Picture != nil {
		return p.Picture
	}
	return linearFromCodes(p.codes, p.profile, p.threads)
}

// Forget lets go of the memory that only Linear and Reduced need, 4 bytes per
// pixel of a photo that is not sRGB. Call it on a lean photo once both are
// done; afterwards they start from RGBA, whose colours are clipped.
func (p *Photo) Forget() {
	p.codes, p.profile = p.RGBA(), nil
}
