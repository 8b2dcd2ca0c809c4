package main

import (
	"errors"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"gapshade/preview"
	"gapshade/preview/quantity"
)

// jobWords are the flags about the rest of the job as typed, the same for
// preview and job. What was not typed is "", so that a job from a report keeps
// what was said then.
type jobWords struct {
	thickness, edge, kind, material, place, allowance, temperature string
	start, clock, potLife, variation, units                        string
}

// register defines every flag once, in the order of the help text.
func (w *jobWords) register(f *pflag.FlagSet) {
	f.StringVar(&w.thickness, "thickness", "", "tile thickness, the depth of the joint; left out, usual for the material (4mm)")
	f.StringVar(&w.material, "material", "", "glass, glazed, porcelain, stone, terracotta, metal or mixed; left out, mixed")
	f.StringVar(&w.place, "place", "", "indoor, wet or outdoor; left out, indoor")
	f.StringVar(&w.kind, "kind", "", "grain of the grout: unsanded, sanded or auto, by the widest joints; left out, auto")
	f.StringVar(&w.edge, "edge", "", "height of a thin coat of grout down the outer sides, such as 8mm; left out, none")
	f.StringVar(&w.allowance, "allowance", "", "for waste, on top of what lies in the joints; left out, 10%")
	f.StringVar(&w.variation, "variation", "", "by how much the tiles differ in size, such as 0.5mm; a joint should be three times that")
	f.StringVar(&w.temperature, "temperature", "", "of air and surface, such as 21C or 70F; left out, 21C")
	f.StringVar(&w.potLife, "pot-life", "", "from the bag, such as 45min; it limits the batches")
	f.StringVar(&w.clock, "clock", "", "unhurried (the mosaic studio's), touch (the tiler's) or auto, by the size of the tiles; left out, auto")
	f.StringVar(&w.start, "start", "", "when the water goes in, such as 2026-05-04T10:00; adds clock.ics, a calendar with alarms")
	f.StringVar(&w.units, "units", "", "metric or us; left out, metric")
}

// apply puts what was typed over what is known. Errors are *preview.Fault with
// the usage code.
func (w *jobWords) apply(in *quantity.Input, start *time.Time) error {
	if err := w.lengths(in); err != nil {
		return err
	}
	var err error
	for _, f := range []struct {
		name, word string
		set        func(string) error
	}{
		{"allowance", w.allowance, func(s string) error { in.Allowance, err = quantity.ParseShare(s); return err }},
		{"temperature", w.temperature, func(s string) error { in.TemperatureC, err = quantity.ParseTemperature(s); return err }},
		{"pot-life", w.potLife, func(s string) error { in.PotLifeMin, err = quantity.ParseMinutes(s); return err }},
		{"start", w.start, func(s string) error { *start, err = quantity.ParseStart(s); return err }},
		{"clock", w.clock, func(s string) error { in.Clock, err = clockOf(s); return err }},
		{"kind", w.kind, func(s string) error { in.Kind = quantity.Kind(s); return nil }},
		{"material", w.material, func(s string) error { in.Material = quantity.Material(s); return nil }},
		{"place", w.place, func(s string) error { in.Place = quantity.Place(s); return nil }},
		{"units", w.units, func(s string) error { in.Units = quantity.Units(s); return nil }},
	} {
		if f.word == "" {
			continue
		}
		if e, ok := errors.AsType[*quantity.Error](f.set(f.word)); ok {
			return argFault("--%s: %s", e.Next, f.name, e.What)
		}
	}
	if err := in.Check(); err != nil {
		return preview.FromJob(err)
	}
	return nil
}

// lengths are the flags that are a length. None of it, after a report that had
// some, is written 0 or none.
func (w *jobWords) lengths(in *quantity.Input) error {
	for _, f := range []struct {
		name, word, example string
		to                  *float64
	}{
		{"thickness", w.thickness, "4mm", &in.ThicknessMm}, {"edge", w.edge, "8mm", &in.EdgeMm}, {"variation", w.variation, "0.5mm", &in.SizeVariationMm},
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
			return argFault("--%s: %v", "such as --"+f.name+" "+f.example, f.name, err)
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
	return "", &quantity.Error{What: quote(s) + " is not a clock", Next: "use unhurried, touch or auto"}
}
