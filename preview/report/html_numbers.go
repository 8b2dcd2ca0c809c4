package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"strings"

	"gapshade/preview"
	"gapshade/preview/contrast"
)

//go:embed html/numbers.html
var numbersHTML string

// Glance is a small picture of a shade as it is seen from a distance: at WidthMm
// on a screen that is ScreenMm away it fills the same angle as the panel does.
type Glance struct {
	DistanceM float64
	WidthMm   float64
	Cut       bool // a piece of the panel only; the whole would not fit
	Picture   *Picture
}

// ScreenMm is how far the eye is taken to be from the screen: an arm's length.
const ScreenMm = 600

// clusterView is one colour of the tiles.
type clusterView struct {
	Name, Where, Tiles, Share, Lab string
	Paint                          template.CSS
	Picture                        *pictureView
	Alt                            string
}

// againstView is one cluster against one shade.
type againstView struct {
	Word, DeltaL, Losing string
	Worst                bool
}

// farView is the table of distances.
type farView struct {
	Tint, Pitch string
	Distances   []string
}

// seenView is one shade from one distance.
type seenView struct{ Distance, Word, HyAB, Pieces string }

// glanceView is one small picture.
type glanceView struct {
	Distance string
	Cut      bool
	Width    template.CSS
	Picture  *pictureView
	Alt      string
}

// termView is one part of a score.
type termView struct {
	Name, Value, Weight string
}

// numbers adds to a shade's view what is said about the panel as a whole.
func (v *shadeView) numbers(r *Report, s *Shade, page *Page, rank map[string]int) {
	v.Pieces, v.Ties = piecesWords(s.Merged.Pieces, r.Tiles.Count), tieWords(s, rank)
	v.Shift, v.Grid = shiftWords(s.ShiftL), gridWords(s.GridEmphasis)
	v.AfarPaint = template.CSS("background:" + hexOf(s.AfarLab))
	v.Against, v.Seen = againstViews(r, s), seenViews(r, s)
	v.Glances, v.Terms = glanceViews(s, page.Glances[s.ID]), termViews(page.Aim, s.Terms)
}

func clusterViews(r *Report, page *Page) []clusterView {
	var out []clusterView
	for k, c := range r.Clusters {
		v := clusterView{Name: capital(c.Name), Where: c.Where, Tiles: preview.Count(c.Tiles, "tile"), Share: preview.Percent(c.AreaShare),
			Lab:   fmt.Sprintf("L* %.0f, a* %s, b* %s", c.Lab[0], signed(c.Lab[1]), signed(c.Lab[2])),
			Paint: template.CSS("background:" + hexOf(c.Lab)),
			Alt:   fmt.Sprintf("The panel with only the %s tiles shown: %s %s.", c.Name, preview.Count(c.Tiles, "tile"), c.Where)}
		if k < len(page.Clusters) {
			v.Picture = show(page.Clusters[k])
		}
		out = append(out, v)
	}
	return out
}

func againstViews(r *Report, s *Shade) []againstView {
	var out []againstView
	for k, a := range s.Clusters {
		v := againstView{Word: contrast.Word(a.HyAB), DeltaL: signed(a.DeltaL), Worst: s.Worst != nil && *s.Worst == k}
		if a.Losing > 0 && k < len(r.Clusters) {
			v.Losing = fmt.Sprintf("%s of %s lose their outline", preview.Thousands(a.Losing), preview.Thousands(r.Clusters[k].Tiles))
		}
		out = append(out, v)
	}
	return out
}

func newFarView(r *Report) *farView {
	if r.View == nil || len(r.Shades) == 0 || len(r.Shades[0].At) == 0 {
		return nil
	}
	v := &farView{Tint: metres(round(r.View.TintFromM, 1)), Pitch: fmt.Sprintf("%.0f mm", r.View.PitchMm)}
	for _, at := range r.Shades[0].At {
		v.Distances = append(v.Distances, metres(at.DistanceM))
	}
	return v
}

func seenViews(r *Report, s *Shade) []seenView {
	var out []seenView
	for _, at := range s.At {
		out = append(out, seenView{Distance: metres(at.DistanceM), Word: contrast.Word(at.Seen.P50),
			HyAB: fmt.Sprintf("%.0f", at.Seen.P50), Pieces: piecesWords(at.Pieces, r.Tiles.Count)})
	}
	return out
}

func glanceViews(s *Shade, glances []Glance) []glanceView {
	var out []glanceView
	for _, g := range glances {
		if p := show(g.Picture); p != nil {
			what := "The panel"
			if g.Cut {
				what = "A piece of the panel"
			}
			out = append(out, glanceView{Distance: metres(g.DistanceM), Cut: g.Cut, Picture: p,
				Width: template.CSS(fmt.Sprintf("width:%.1fmm", g.WidthMm)),
				Alt:   fmt.Sprintf("%s in %s as seen from %s.", what, preview.ShadeName(s.ID), metres(g.DistanceM))})
		}
	}
	return out
}

// termViews lists what the score is made of, terms without weight left out.
func termViews(aim preview.Aim, t Terms) []termView {
	w := contrast.Weights(string(aim))
	var out []termView
	for _, v := range []struct {
		name          string
		value, weight float64
	}{
		{"aim met on the tiles", t.Tiles, w.Tiles},
		{"on the worst cluster", t.WorstCluster, w.WorstCluster},
		{"outlines kept", t.Outlines, w.Outlines},
		{"no grid", t.QuietGrid, w.QuietGrid},
		{"lightness of the whole kept", t.Steady, w.Steady},
	} {
		if v.weight > 0 {
			out = append(out, termView{v.name, fmt.Sprintf("%.0f", v.value), fmt.Sprintf("%.0f\u00a0%%", 100*v.weight)})
		}
	}
	return out
}

// tieWords names the ranks that a shade is too close to, "" for none.
func tieWords(s *Shade, rank map[string]int) string {
	if len(s.Ties) == 0 {
		return ""
	}
	var ranks []string
	for _, id := range s.Ties {
		ranks = append(ranks, fmt.Sprint(rank[id]))
	}
	return "≈ " + strings.Join(ranks, ", ")
}

// shiftWords says what becomes of the whole panel.
func shiftWords(shift float64) string {
	switch {
	case shift >= .5:
		return fmt.Sprintf("%.0f lighter", shift)
	case shift <= -.5:
		return fmt.Sprintf("%.0f darker", -shift)
	}
	return "the same"
}

// gridWords says how much of a grid the joints draw; the steps are a third each.
func gridWords(g float64) string {
	switch {
	case g < .1:
		return "none"
	case g < 1./3:
		return "faint"
	case g < 2./3:
		return "plain"
	}
	return "strong"
}

// piecesWords compares the pieces left with the tiles laid.
func piecesWords(pieces, tiles int) string {
	if pieces == tiles {
		return "all " + preview.Count(tiles, "piece")
	}
	return preview.Count(pieces, "piece") + " of " + preview.Thousands(tiles)
}

// metres prints a distance as it was given: 0.5 m, 2 m, 1.83 m.
func metres(m float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", m), "0"), ".") + "\u00a0m"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
