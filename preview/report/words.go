package report

import (
	"fmt"
	"math"

	"gapshade/preview"
	"gapshade/preview/contrast"
)

// The words of the report; those it shares with the sheet are preview's, and
// contrast's own words come from contrast.

// word names the middle contrast.
func (s *Shade) word() string { return contrast.Word(s.Contrast.HyAB.P50) }

// side says which way the joint goes.
func (s *Shade) side() string { return preview.Side(s.Contrast.DeltaL.P10, s.Contrast.DeltaL.P90) }

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
