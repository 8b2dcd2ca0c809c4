package said

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"gapshade/preview"
	"gapshade/preview/quantity"
)

// Job is what a person says about the rest of the job, as typed. What was not typed
// is "", so that a job from a report keeps what was said then.
type Job struct {
	Thickness, Edge, Kind, Material, Place, Allowance, Temperature string
	Start, Clock, PotLife, Variation, Units                        string
	Grouted                                                        bool // a report's stays
}

// Apply puts what was typed over what is known. Errors are *preview.Fault with
// the usage code.
func (w *Job) Apply(in *quantity.Input, start *time.Time) error {
	if err := w.lengths(in); err != nil {
		return err
	}
	var err error
	for _, f := range []struct {
		name, word string
		set        func(string) error
	}{
		{"allowance", w.Allowance, func(s string) error { in.Allowance, err = quantity.ParseShare(s); return err }},
		{"temperature", w.Temperature, func(s string) error { in.TemperatureC, err = quantity.ParseTemperature(s); return err }},
		{"pot-life", w.PotLife, func(s string) error { in.PotLifeMin, err = quantity.ParseMinutes(s); return err }},
		{"start", w.Start, func(s string) error { *start, err = quantity.ParseStart(s); return err }},
		{"clock", w.Clock, func(s string) error { in.Clock, err = clockOf(s); return err }},
		{"kind", w.Kind, func(s string) error { in.Kind = quantity.Kind(s); return nil }},
		{"material", w.Material, func(s string) error { in.Material = quantity.Material(s); return nil }},
		{"place", w.Place, func(s string) error { in.Place = quantity.Place(s); return nil }},
		{"units", w.Units, func(s string) error { in.Units = quantity.Units(s); return nil }},
	} {
		if f.word == "" {
			continue
		}
		if e, ok := errors.AsType[*quantity.Error](f.set(f.word)); ok {
			return usage("--%s: %s", e.Next, f.name, e.What)
		}
	}
	in.Grouted = in.Grouted || w.Grouted
	if err := in.Check(); err != nil {
		return preview.FromJob(err)
	}
	return nil
}

// lengths are the flags that are a length. None of it, after a report that had
// some, is written 0 or none.
func (w *Job) lengths(in *quantity.Input) error {
	for _, f := range []struct {
		name, word, example string
		to                  *float64
	}{
		{"thickness", w.Thickness, "4mm", &in.ThicknessMm}, {"edge", w.Edge, "8mm", &in.EdgeMm}, {"variation", w.Variation, "0.5mm", &in.SizeVariationMm},
	} {
		switch strings.ToLower(f.word) {
		case "":
			continue
		case "0", "0mm", "0in", "none":
			*f.to = 0
			continue
		}
		var err error
		if *f.to, err = preview.ParseLength(f.word); err != nil {
			return usage("--%s: %v", "such as --"+f.name+" "+f.example, f.name, err)
		}
	}
	return nil
}

// clockOf reads the name of a clock; auto is "".
func clockOf(s string) (quantity.Clock, error) {
	switch s {
	case "auto":
		return "", nil
	case "unhurried":
		return quantity.Unhurried, nil
	case "touch", string(quantity.ByTouch):
		return quantity.ByTouch, nil
	}
	return "", &quantity.Error{What: strconv.Quote(s) + " is not a clock", Next: "use unhurried, touch or auto"}
}
