package preview

import (
	"fmt"
	"math"
	"slices"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// SecondPhoto is what is kept of the second photo once it was read.
type SecondPhoto struct {
	Name, Format, Profile, SHA256 string
	W, H                          int          // upright, px
	Notes                         []photo.Note // what was assumed or repaired when it was read
}

// checkSecond wants another file, and no claim that both papers are one.
func (s *Settings) checkSecond(ph *photo.Photo) error {
	if s.Second == nil {
		if s.SecondBed.Known {
			return usage("--second-bed is about a photo that isn't there", "add --second with the photo on the other paper")
		}
		return nil
	}
	if s.Second.SHA256 == ph.SHA256 && ph.SHA256 != "" {
		f := usage("--second %s is the first photo again", "lay other paper under the same tiles, don't move them, and take a second photo from the same place", s.Second.Name)
		f.Why = "both files hold the same bytes"
		return f
	}
	if s.Bed.Known && s.SecondBed.Known && colormath.DeltaE76(s.Bed.Lab, s.SecondBed.Lab) < sameBed {
		return usage("--bed and --second-bed name the same paper", "two papers tell tile from bed by their difference; the best pair is white and black")
	}
	return nil
}

// sameBed is the least difference of two papers by name, ΔE76: less is less than what
// two photos can be matched to.
const sameBed = 5

// second hands the second photo to the finder; nil without one.
func (p *Proof) second(v *view) *segment.Second {
	ph := p.Settings.Second
	if ph == nil {
		return nil
	}
	return &segment.Second{W: ph.W, H: ph.H, Reduced: ph.Reduced, FirstW: p.Photo.W, FirstH: p.Photo.H, ToPicture: v.toFrame}
}

// letSecondGo keeps the facts about the second photo and none of its pixels.
func (p *Proof) letSecondGo() {
	if ph := p.Settings.Second; ph != nil {
		p.Second = &SecondPhoto{ph.Name, ph.Format, ph.Profile, ph.SHA256, ph.W, ph.H, ph.Notes}
		p.Settings.Second = nil
	}
}

// orderOfBeds tells papers that were named the wrong way round: the light, and with it
// every number, would be off by as much as they differ.
func (p *Proof) orderOfBeds() error {
	a, b := p.Settings.Bed, p.Settings.SecondBed
	if p.Map.Pair == nil || !a.Known || !b.Known || math.Abs(a.Lab.L-b.Lab.L) < 10 || (b.Lab.L > a.Lab.L) == p.Map.Pair.Lighter {
		return nil
	}
	word := "darker"
	if p.Map.Pair.Lighter {
		word = "lighter"
	}
	f := usage("--bed and --second-bed are named the wrong way round", "--bed is the paper in the first photo, --second-bed the one in the --second photo")
	f.Why = "the paper in the second photo is the " + word + " one"
	return f
}

// bed is the first photo's paper, in linear light: as it was named, else worked out
// from the second one's; nil when neither was. Where both are named, the first one's own
// name tells the light better, dark or not (path-traced pairs: joints ΔE 3.2, worked
// out 3.3).
func (p *Proof) bed() *colormath.LinearRGB {
	bed, second, pr := p.Settings.Bed.reflectance(), p.Settings.SecondBed.reflectance(), p.Map.Pair
	if bed != nil || second == nil || pr == nil {
		return bed
	}
	return &colormath.LinearRGB{R: second.R / pr.Paper[0], G: second.G / pr.Paper[1], B: second.B / pr.Paper[2]}
}

// noteBed says so when the bed's colour comes from the second photo.
func (p *Proof) noteBed() {
	if bed := p.bed(); bed != nil && !p.Settings.Bed.Known {
		p.note("bed-from-second", "the first photo's bed was not given; beside the second one's it has L* %.0f", bed.Lab().L)
	}
}

// notePair says how the two photos fit and what they showed; what was said of the first
// photo is not said again.
func (p *Proof) notePair() {
	pr := p.Map.Pair
	if pr == nil {
		return
	}
	for _, n := range p.Second.Notes {
		if !slices.ContainsFunc(p.Photo.Notes, func(m photo.Note) bool { return m.Code == n.Code }) {
			p.note("second-"+n.Code, "second photo: %s", n.Text)
		}
	}
	x, y := float64(p.Photo.W)/2, float64(p.Photo.H)/2
	toPhoto, _ := colormath.Homography(p.Frame.PhotoToFrame).Inverse()
	h := toPhoto.After(pr.ToPicture)
	mx, my := h.Apply(float64(p.Second.W)/2, float64(p.Second.H)/2)
	ux, uy := h.Apply(float64(p.Second.W)/2+100, float64(p.Second.H)/2)
	turn := math.Abs(math.Atan2(uy-my, ux-mx) * 180 / math.Pi)
	paper := "darker"
	if pr.Lighter {
		paper = "lighter"
	}
	p.note("two-photos", "the second photo, on %s paper, was laid over the first: moved by %.0f px, turned by %.1f°, made %s",
		paper, math.Hypot(mx-x, my-y), turn, brighter((pr.Exposure[0]+pr.Exposure[1]+pr.Exposure[2])/3))
	if pr.Through > 0 {
		p.note("see-through", "the bed shows through %d of %d tiles; over adhesive of another colour than this paper they will look different", pr.Through, len(p.Map.Tiles))
	}
}

// brighter puts a factor of exposure in words.
func brighter(k float64) string {
	switch {
	case k > 1.005:
		return fmt.Sprintf("%.0f %% brighter", 100*(k-1))
	case k < .995:
		return fmt.Sprintf("%.0f %% darker", 100*(1-k))
	}
	return "neither brighter nor darker"
}

// pairFault dresses a pair that is none.
func pairFault(e *segment.PairError) *Fault {
	f := &Fault{Code: CodeNoGaps, What: "the second photo doesn't go with the first", Why: e.Why, Flag: "second", Err: e}
	switch e.Fault {
	case segment.OtherShape:
		f.Code, f.Next = CodeUsage, "take both photos with the same camera at the same size, and don't crop them"
	case segment.OtherLayout:
		f.Next = "give two photos of the same layout, taken from the same place; or leave --second out"
	case segment.TilesMoved:
		f.Next = "change the paper without moving the tiles (lay them on clear film, or slide the paper out), and take both photos again; or leave --second out"
	case segment.SamePaper:
		f.Next = "lay clearly lighter or darker paper under the layout for one of the photos; the best pair is white and black"
	}
	return f
}
