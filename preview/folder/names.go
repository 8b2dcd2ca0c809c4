package folder

import (
	"slices"

	"gapshade/preview/grout"
)

// JobNames are the files of a job sheet.
func JobNames() []string { return []string{"job.html", "job.pdf", "clock.ics"} }

// Names are the files of a run with these shades; those of the job sheet are only
// written when the panel's size is known, and the calendar when a start is.
func Names(shades []grout.Shade) []string {
	names := slices.Concat([]string{"sheet.jpg", "gaps.png", "tiles.png", "report.json", "report.html", "contrast.csv"}, JobNames())
	for _, s := range shades {
		names = append(names, previewName(s.ID), mergedName(s.ID))
	}
	return names
}

func previewName(id string) string { return "preview-" + id + ".jpg" }
func mergedName(id string) string  { return "merged-" + id + ".png" }
