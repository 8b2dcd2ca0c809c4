package page

import (
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/quantity"
)

// choices are the closed sets that the page offers, and its limits.
func choices(version string) any {
	shades := []coloured{}
	for _, s := range grout.Palette() {
		shades = append(shades, colouredOf(s))
	}
	return map[string]any{
		"shades": shades,
		"materials": []quantity.Material{quantity.Mixed, quantity.Glass, quantity.Glazed, quantity.Porcelain, quantity.Stone,
			quantity.Terracotta, quantity.Metal},
		"places":    []quantity.Place{quantity.Indoor, quantity.Wet, quantity.Outdoor},
		"kinds":     []quantity.Kind{quantity.Auto, quantity.Unsanded, quantity.Sanded},
		"units":     []quantity.Units{quantity.Metric, quantity.US},
		"aims":      []preview.Aim{preview.Outline, preview.Balance, preview.Blend},
		"states":    []string{"cured", "damp", "enhanced"},
		"marks":     marks(),
		"languages": []string{"en", "de"},
		"limits": map[string]int{"photo_bytes": mostPhoto, "working_pixels": workingPx, "strokes": mostStrokes, "points": mostPoints,
			"shades": grout.MaxShades},
		"version": version,
	}
}

// marks are what a stroke can say.
func marks() (out []string) {
	for _, m := range []string{"gap", "tile", "outside"} {
		if shows[m] != 0 {
			out = append(out, m)
		}
	}
	return out
}
