package report

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gapshade/preview"
	"gapshade/preview/contrast"
)

// The words of the report. The sheet has a few of the same, because packages
// that show do not import each other; contrast's own words come from contrast.

// name is a shade's id in plain words: "mid-warm" is "mid warm".
func name(id string) string { return strings.ReplaceAll(id, "-", " ") }

// heading is the title the person gave, else the photo's name.
func heading(title, photo string) string {
	if s := strings.TrimSpace(title); s != "" {
		return s
	}
	base := filepath.Base(photo)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// aimWords says what the person wants.
func aimWords(a preview.Aim) string {
	switch a {
	case preview.Outline:
		return "every tile stands out"
	case preview.Blend:
		return "the joint disappears"
	}
	return "the joint is seen, the picture leads"
}

// word names the middle contrast.
func (s *Shade) word() string { return contrast.Word(s.Contrast.HyAB.P50) }

// side says which way the joint goes, when nine tiles in ten agree.
func (s *Shade) side() string {
	switch d := s.Contrast.DeltaL; {
	case d.P10 > 0:
		return "lighter than the tiles"
	case d.P90 < 0:
		return "darker than the tiles"
	}
	return "between light and dark tiles"
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

// signed prints a difference with its sign, a true minus and no decimals.
func signed(v float64) string {
	switch r := math.Round(v); {
	case r > 0:
		return fmt.Sprintf("+%.0f", r)
	case r < 0:
		return fmt.Sprintf("−%.0f", -r)
	}
	return "0"
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

// gapWidth is the middle gap in words, "" when it is not known.
func (g *Gaps) gapWidth() string {
	switch {
	case g.WidthMm != nil:
		return fmt.Sprintf("%.1f mm", g.WidthMm.P50)
	case g.WidthPx != nil:
		return fmt.Sprintf("%.1f px", g.WidthPx.P50)
	}
	return ""
}
