package sheet

import (
	"fmt"

	"gapshade/preview"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
)

// caption is the text under one picture.
type caption struct {
	name  string    // first line, bold
	value string    // first line, at the right
	lines [2]string // below
}

// bareCaption tells what was photographed.
func bareCaption(p *preview.Proof) caption {
	name, state := "Bare layout", "as laid, before grouting"
	if p.Settings.Job.Grouted {
		name, state = "As it is", "in its old joints"
	}
	return caption{
		name: name,
		lines: [2]string{
			state,
			fmt.Sprintf("%s · gaps are %s of the panel", preview.Count(len(p.Map.Tiles), "tile"), preview.Percent(p.Map.GapShare)),
		},
	}
}

func shadeCaption(t *preview.Trial) caption {
	return caption{
		name:  fmt.Sprintf("%d · %s", t.Rank, preview.ShadeName(t.Shade.ID)),
		value: fmt.Sprintf("L* %.0f", t.Shade.Lab.L),
		lines: [2]string{contrastLine(t), mergeLine(t)},
	}
}

// contrastLine puts the middle contrast and its direction in words.
func contrastLine(t *preview.Trial) string {
	return contrast.Word(t.HyAB.P50) + " · " + preview.Side(t.DeltaL.P10, t.DeltaL.P90)
}

func mergeLine(t *preview.Trial) string {
	if t.MergingShare == 0 {
		return "every tile keeps its outline"
	}
	text := "outline lost: " + preview.Percent(t.MergingShare) + " of tile area"
	if t.Groups > 0 {
		text += ", " + preview.Count(t.Groups, "group")
	}
	return text
}

// aimLine says what the order stands for.
func aimLine(aim preview.Aim) string {
	return fmt.Sprintf("Grout preview, best first for %s: %s", aim, aim.Words())
}

// closing says what the sheet shows and what it is not, the grout being in a state.
func closing(s grout.State) []string {
	ranks := ""
	if s == grout.Damp || s == grout.Enhanced {
		ranks = "; ranks and words are for cured, bare grout"
	}
	return []string{
		"Shades are shown " + preview.LookOf(s) + ", in the light of the photo" + ranks + ". " +
			"The first word is the contrast of joint and middle tile (HyAB): melts in below 5, soft to 12, clear to 30, graphic above.",
		"A tile loses its outline when the joint is nearly its own colour; groups are neighbours that then read as one.",
		"A photo is not a measurement: camera, screen and printer shift every colour. " +
			"Try the grout you choose on spare tiles, let it dry, and look again.",
	}
}
