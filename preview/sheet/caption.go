package sheet

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gapshade/preview"
	"gapshade/preview/contrast"
)

// caption is the text under one picture.
type caption struct {
	name  string    // first line, bold
	value string    // first line, at the right
	lines [2]string // below
}

// Name is a shade's id in plain words: "mid-warm" is "mid warm".
func Name(id string) string { return strings.ReplaceAll(id, "-", " ") }

// bareCaption tells what was photographed.
func bareCaption(p *preview.Proof) caption {
	return caption{
		name: "Bare layout",
		lines: [2]string{
			"as laid, before grouting",
			fmt.Sprintf("%s · gaps are %s of the panel", count(len(p.Map.Tiles), "tile"), percent(p.Map.GapShare)),
		},
	}
}

func shadeCaption(t *preview.Trial) caption {
	return caption{
		name:  fmt.Sprintf("%d · %s", t.Rank, Name(t.Shade.ID)),
		value: fmt.Sprintf("L* %.0f", t.Shade.Lab.L),
		lines: [2]string{contrastLine(t), mergeLine(t)},
	}
}

// contrastLine puts the middle contrast and its direction in words. Which side
// the joint is on is only claimed when nine tiles in ten agree.
func contrastLine(t *preview.Trial) string {
	side := "between light and dark tiles"
	switch {
	case t.DeltaL.P10 > 0:
		side = "lighter than the tiles"
	case t.DeltaL.P90 < 0:
		side = "darker than the tiles"
	}
	return contrast.Word(t.HyAB.P50) + " · " + side
}

func mergeLine(t *preview.Trial) string {
	if t.MergingShare == 0 {
		return "every tile keeps its outline"
	}
	text := "outline lost: " + percent(t.MergingShare) + " of tile area"
	if t.Groups > 0 {
		text += ", " + count(t.Groups, "group")
	}
	return text
}

// heading is the title the person gave, else the photo's name.
func heading(p *preview.Proof) string {
	if s := strings.TrimSpace(p.Settings.Title); s != "" {
		return s
	}
	name := filepath.Base(p.Photo.Name)
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// aimLine says what the order stands for.
func aimLine(aim preview.Aim) string {
	why := map[preview.Aim]string{
		preview.Outline: "every tile stands out",
		preview.Balance: "the joint is seen, the picture leads",
		preview.Blend:   "the joint disappears",
	}[aim]
	return fmt.Sprintf("Grout preview, best first for %s: %s", aim, why)
}

// closing says what the sheet shows and what it is not.
func closing() []string {
	return []string{
		"Shades are shown cured and dry, in the light of the photo. " +
			"The first word is the contrast of joint and middle tile (HyAB): melts in below 5, soft to 12, clear to 30, graphic above.",
		"A tile loses its outline when the joint is nearly its own colour; groups are neighbours that then read as one.",
		"A photo is not a measurement: camera, screen and printer shift every colour. " +
			"Try the grout you choose on spare tiles, let it dry, and look again.",
	}
}

// percent rounds so that little is not called nothing, and almost all not all.
func percent(share float64) string {
	switch v := 100 * share; {
	case v > 0 && v < 1:
		return "under 1 %"
	case v > 99 && v < 100:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", math.Round(v))
	}
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return thousands(n) + " " + noun + "s"
}

// thousands groups digits with a comma: 1800 is "1,800".
func thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s,%03d", thousands(n/1000), n%1000)
}
