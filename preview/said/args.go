package said

import (
	"slices"
	"strconv"

	"gapshade/preview"
	"gapshade/preview/grout"
)

// Args are the words as flags of the command, only what differs from a plain run.
// Own shades that are all built in become a list of ids; others need a file, whose
// name is shadesFile.
func (w *Words) Args(shadesFile string) (out []string) {
	add := func(name, value, plain string) {
		if value != "" && value != plain {
			out = append(out, "--"+name, value)
		}
	}
	add("size", w.Size, "")
	add("bed", w.Bed, "auto")
	add("second-bed", w.SecondBed, "auto")
	add("corners", w.Corners, "")
	add("grey", w.Grey, "")
	if w.Straighten {
		out = append(out, "--straighten")
	}
	add("gap", w.Gap, "")
	add("shoulder", w.Shoulder, "")
	add("shades", w.shadesArg(shadesFile), "")
	add("aim", w.Aim, string(preview.Balance))
	add("distance", w.Distance, "")
	add("state", w.State, "cured")
	add("recess", w.Recess, "")
	for _, f := range []struct {
		name string
		on   bool
	}{{"flush", w.Flush}, {"plain", w.Plain}, {"clear", w.Clear}} {
		if f.on {
			out = append(out, "--"+f.name)
		}
	}
	if w.GrainSeed != 0 {
		out = append(out, "--grain-seed", strconv.FormatUint(w.GrainSeed, 10))
	}
	add("title", w.Title, "")
	for _, f := range []struct{ name, value, plain string }{
		{"thickness", w.Thickness, ""}, {"material", w.Material, ""}, {"place", w.Place, ""}, {"kind", w.Kind, "auto"}, {"edge", w.Edge, ""},
		{"allowance", w.Allowance, ""}, {"variation", w.Variation, ""}, {"temperature", w.Temperature, ""}, {"pot-life", w.PotLife, ""},
		{"clock", w.Clock, "auto"}, {"start", w.Start, ""}, {"units", w.Units, "metric"},
	} {
		add(f.name, f.value, f.plain)
	}
	if w.Grouted {
		out = append(out, "--grouted")
	}
	return out
}

// NeedsFile says whether the shades can't be named by the ids of built-in ones.
func (w *Words) NeedsFile() bool {
	return slices.ContainsFunc(w.Own, func(s grout.Shade) bool { return !slices.Contains(grout.Palette(), s) })
}

func (w *Words) shadesArg(file string) string {
	switch {
	case w.Own == nil:
		return w.Shades
	case w.NeedsFile():
		return file
	}
	if len(w.Own) == len(grout.Palette()) {
		return ""
	}
	list := ""
	for i, s := range w.Own {
		if i > 0 {
			list += ","
		}
		list += s.ID
	}
	return list
}
