package report

import (
	"fmt"

	"gapshade/preview"
)

// facts tells what was read and found, in the order a person asks for it. The
// file's hash comes last: it proves which photo this was, years later.
func facts(r *Report) []fact {
	out := []fact{
		{"Photo", fmt.Sprintf("%s, %s × %s px, %s", preview.Clean(r.Photo.Name), preview.Thousands(r.Photo.Width), preview.Thousands(r.Photo.Height), r.Photo.Format)},
		{"Colour profile", r.Photo.Profile},
		{"Scale", "not known; give the panel's size for millimetres"},
		{"Tiles", preview.Count(r.Tiles.Count, "tile") + cutWords(&r.Tiles) + areaWords(&r.Tiles)},
		{"Gaps", preview.Percent(r.Gaps.Share) + " of the panel" + gapArea(&r.Gaps)},
		{"Gap width", widthWords(&r.Gaps)},
		{"Read from", fmt.Sprintf("%s, confidence %.0f of 100", r.Gaps.Method, 100*r.Gaps.Confidence)},
		{"Light", fmt.Sprintf("varies by %.0f %% over the panel; the bed looks L* %.0f", 100*r.Light.Unevenness, r.Light.BedLab[0])},
		{"File", "SHA-256 " + r.Photo.SHA256},
	}
	if s := r.Second; s != nil {
		out = append(out, fact{"Second file", fmt.Sprintf("%s, SHA-256 %s", preview.Clean(s.Name), s.SHA256)})
	}
	if mm := r.Frame.MmPerPx; mm != nil {
		out[2].Value = fmt.Sprintf("%.3g mm per pixel", *mm)
		if r.Frame.Shape == FreeOutline {
			out[2].Value += ", by the box round the outline, which is free"
		}
	}
	return out
}

func cutWords(t *Tiles) string {
	if t.Cut == nil || *t.Cut == 0 {
		return ""
	}
	return fmt.Sprintf(", %s of them cut at the edge", preview.Thousands(*t.Cut))
}

// trustWords is the legend of the map of confidence.
func trustWords(r *Report) string {
	text := "How far to trust the gaps: they were sure everywhere."
	if len(r.Gaps.Weak) > 0 {
		text = "How far to trust the gaps: hatched where they were in doubt, densely where hardly anything is known. " +
			"A joint that left no trace may be missed without any hatching."
	}
	if c := r.Tiles.Cut; c != nil && *c > 0 {
		text += " White tiles are cut at the edge."
	}
	return text
}

func areaWords(t *Tiles) string {
	switch {
	case t.AreaMm2 != nil:
		return fmt.Sprintf(", the middle one %.0f mm²", t.AreaMm2.P50)
	case t.AreaPx != nil:
		return fmt.Sprintf(", the middle one %.0f px²", t.AreaPx.P50)
	}
	return ""
}

func gapArea(g *Gaps) string {
	if g.AreaMm2 == nil {
		return ""
	}
	cm2 := *g.AreaMm2 / 100
	if cm2 < 10 {
		return fmt.Sprintf(", %.1f cm²", cm2)
	}
	return fmt.Sprintf(", %.0f cm²", cm2)
}

func widthWords(g *Gaps) string {
	switch {
	case g.WidthMm != nil:
		return fmt.Sprintf("%.1f mm in the middle, 80 %% between %.1f and %.1f mm", g.WidthMm.P50, g.WidthMm.P10, g.WidthMm.P90)
	case g.WidthPx != nil:
		return fmt.Sprintf("%.1f px in the middle, 80 %% between %.1f and %.1f px", g.WidthPx.P50, g.WidthPx.P10, g.WidthPx.P90)
	}
	return "not measured"
}
