package main

import (
	"github.com/spf13/pflag"

	"gapshade/preview/said"
)

// registerJob defines every flag about the rest of the job once, the same for
// preview and job, in the order of the help text.
func registerJob(f *pflag.FlagSet, w *said.Job) {
	f.StringVar(&w.Thickness, "thickness", "", "tile thickness, the depth of the joint; left out, usual for the material (4mm)")
	f.StringVar(&w.Material, "material", "", "glass, glazed, porcelain, stone, terracotta, metal or mixed; left out, mixed")
	f.StringVar(&w.Place, "place", "", "indoor, wet or outdoor; left out, indoor")
	f.BoolVar(&w.Grouted, "grouted", false, "an old floor or wall, grouted already: its joints take the shades; --thickness is the depth they're raked to")
	f.StringVar(&w.Kind, "kind", "", "grain of the grout: unsanded, sanded or auto, by the widest joints; left out, auto")
	f.StringVar(&w.Edge, "edge", "", "height of a thin coat of grout down the outer sides, such as 8mm; left out, none")
	f.StringVar(&w.Allowance, "allowance", "", "for waste, on top of what lies in the joints; left out, 10%")
	f.StringVar(&w.Variation, "variation", "", "by how much the tiles differ in size, such as 0.5mm; a joint should be three times that")
	f.StringVar(&w.Temperature, "temperature", "", "of air and surface, such as 21C or 70F; left out, 21C")
	f.StringVar(&w.PotLife, "pot-life", "", "from the bag, such as 45min; it limits the batches")
	f.StringVar(&w.Clock, "clock", "", "unhurried (the mosaic studio's), touch (the tiler's) or auto, by the size of the tiles; left out, auto")
	f.StringVar(&w.Start, "start", "", "when the water goes in, such as 2026-05-04T10:00; adds clock.ics, a calendar with alarms")
	f.StringVar(&w.Units, "units", "", "metric or us; left out, metric")
}
