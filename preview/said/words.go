package said

import (
	"cmp"
	"fmt"

	"gapshade/preview"
	"gapshade/preview/grout"
)

// Words are what a person says about one photo, as typed: the values of the command's
// flags. All but Aim may be empty.
type Words struct {
	Size, Bed, SecondBed, Corners, Grey, Gap, Shoulder string
	Shades, Aim, Distance, Title                       string
	State, Recess                                      string
	Straighten, Strict, Flush, Plain, Clear            bool
	GrainSeed                                          uint64
	Threads                                            int
	Own                                                []grout.Shade // shades given by value instead of by Shades
	Job
}

// Settings reads the words. Errors are *preview.Fault with the usage code.
func (w *Words) Settings() (s preview.Settings, err error) {
	s = preview.Default()
	s.Aim, s.Straighten, s.Strict, s.Title, s.Threads = preview.Aim(w.Aim), w.Straighten, w.Strict, w.Title, w.Threads
	if w.Threads < 0 || w.Threads > 256 {
		return s, usage("--threads %d is out of range", "use 0 for all processors, or 1 to 256", w.Threads)
	}
	s.Joint = preview.Joint{State: grout.State(cmp.Or(w.State, string(grout.Cured))), Flush: w.Flush, Plain: w.Plain, Seed: w.GrainSeed, Clear: w.Clear}
	if w.Recess != "" {
		if s.Joint.RecessMm, err = preview.ParseLength(w.Recess); err != nil {
			return s, usage("--recess: %v", "such as --recess 0.8mm", err)
		}
	}
	if w.Size != "" {
		if s.WidthMm, s.HeightMm, err = preview.ParseSize(w.Size); err != nil {
			return s, usage("--size: %v", "write width x height with a unit, such as --size 380x300mm", err)
		}
	}
	if w.Distance != "" {
		if s.DistancesM, err = preview.ParseDistances(w.Distance); err != nil {
			return s, usage("--distance: %v", "such as --distance 0.5m,2m,5m", err)
		}
		if w.Size == "" {
			return s, usage("--distance needs to know how large the panel is", "add --size, such as --size 380x300mm")
		}
	}
	if w.Corners != "" {
		if s.Corners, err = preview.ParseCorners(w.Corners); err != nil {
			return s, usage("--corners: %v", `such as --corners "40,30 980,35 975,720 42,716"`, err)
		}
	}
	if s.Bed, err = preview.ParseBed(w.Bed); err != nil {
		return s, err
	}
	if s.SecondBed, err = preview.ParseBed(w.SecondBed); err != nil {
		return s, usage("--second-bed %q is not a bed", "use auto, white, grey, black or a colour like #c8b090", w.SecondBed)
	}
	if w.Grey != "" {
		if s.Grey, err = preview.ParseCard(w.Grey); err != nil {
			return s, usage("--grey: %v", "such as --grey 200,150,40", err)
		}
	}
	if w.Gap != "" {
		if s.GapMm, err = preview.ParseLength(w.Gap); err != nil {
			return s, usage("--gap: %v", "such as --gap 2mm", err)
		}
	}
	if w.Shoulder != "" {
		if s.ShoulderMm, err = preview.ParseLength(w.Shoulder); err != nil {
			return s, usage("--shoulder: %v", "such as --shoulder 2mm", err)
		}
	}
	if err := w.Apply(&s.Job, &s.Start); err != nil {
		return s, err
	}
	if w.Own != nil {
		s.Shades = w.Own
	} else if w.Shades != "" {
		if s.Shades, err = grout.Choose(w.Shades); err != nil {
			return s, usage("--shades: %v", "gapshade shades lists the built-in ones", err)
		}
	}
	return s, nil
}

// usage is a word that can't be read.
func usage(what, next string, args ...any) error {
	return &preview.Fault{Code: preview.CodeUsage, What: fmt.Sprintf(what, args...), Next: next}
}
