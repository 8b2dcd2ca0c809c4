package preview

import (
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/quantity"
)

// Joint is how the grout is to be shown.
type Joint struct {
	State    grout.State // "" = cured
	RecessMm float64     // how far it lies below the faces; 0 = as a sponge leaves it
	Flush    bool        // level with the faces instead
	Plain    bool        // without the grain of its sand
	Seed     uint64      // of the grain
	Clear    bool        // the tiles let light pass, as glass does
}

// LookOf puts a state of the joint in words.
func LookOf(s grout.State) string {
	switch s {
	case grout.Damp:
		return "damp, as on the day"
	case grout.Enhanced:
		return "under a sealer that wets the look"
	}
	return "cured and dry"
}

// mostRecessMm is deeper than any joint of a mosaic is struck.
const mostRecessMm = 20

// check refuses what can't be.
func (j *Joint) check() error {
	if _, ok := j.State.Film(); !ok {
		return usage("--state %q is not a state", "use cured, damp or enhanced", string(j.State))
	}
	if j.RecessMm < 0 || j.RecessMm > mostRecessMm {
		return usage("--recess %gmm is out of range", "use 0.1mm to 20mm, or --flush", j.RecessMm)
	}
	if j.Flush && j.RecessMm > 0 {
		return usage("--flush and --recess both say how deep the joint lies", "leave one of them out")
	}
	return nil
}

// drawn is what the drawing is prepared with; the state only colours it.
func (j Joint) drawn() Joint {
	j.State = ""
	return j
}

// joint turns what was said into what the drawing takes, in px of the frame. Where
// the scale is not known, the usual recess is a share of the middle gap, and all else
// stands in the same proportion to it.
func (p *Proof) joint(v *view, r light.Reading) grout.Joint {
	s := &p.Settings
	mm := p.Frame.MmPerPx
	if mm == 0 {
		mm = grout.RecessMm / (grout.RecessShare * max(p.Map.GapWidthPx.P50, 2))
	}
	recess, height := s.Joint.RecessMm, s.Job.ThicknessMm
	if recess == 0 {
		recess = grout.RecessMm
	}
	if height == 0 {
		height = quantity.UsualThicknessMm(s.Job.Material)
	}
	j := grout.Joint{HeightPx: height / mm, Bed: r.Bed, Clear: s.Joint.Clear, Seed: s.Joint.Seed}
	if !s.Joint.Flush {
		above := j.HeightPx
		if s.Job.Grouted { // what throws shadows stands on an old joint, as high as a sponge left it
			above = grout.RecessMm / mm
		}
		j.DepthPx = max(recess/mm, .5)
		j.Lamp = light.ReadLamp(v.pic, p.Map, r, above, s.Threads)
	}
	if !s.Joint.Plain {
		j.GrainPx = grout.GrainMm / mm
	}
	return j
}

// noteJoint says what the pictures show that the numbers don't.
func (p *Proof) noteJoint() {
	switch p.Settings.Joint.State {
	case grout.Damp:
		p.note("damp", "the pictures show the joints damp, as on the day; ranks and numbers are for the cured shade, and real grout may come out a little darker when wet than a film of water alone makes it")
	case grout.Enhanced:
		p.note("enhanced", "the pictures show the joints under a sealer that wets the look; ranks and numbers are for the bare, cured shade")
	}
	if p.Settings.Job.Grouted {
		p.note("grouted", "the joints are grouted already, so the pictures show the old joints recoloured; --bed means the colour of the old grout, and stains in it pass for light and shadow")
	}
	if p.Map.Through == nil && p.Settings.Joint.Clear {
		p.note("clear-guess", "how much light passes the tiles is a guess, the same for all; a second photo on another paper measures it")
	}
}
