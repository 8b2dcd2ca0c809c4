package report

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/contrast"
	"gapshade/preview/grout"
	"gapshade/preview/quantity"
)

// Widths, px, that keep the page readable and near 4 MB with eleven shades.
const (
	SheetPx   = 1800 // the comparison sheet
	PreviewPx = 700  // one preview
	MergedPx  = 900  // long side of one merge map
)

// Picture is an encoded picture to be put into the page.
type Picture struct {
	Type string // "image/jpeg" or "image/png"
	Data []byte
	W, H int // px
}

// Page is what the page shows beside the report. A missing picture is left
// out, with its caption.
type Page struct {
	Title   string // "" takes the photo's name
	Aim     preview.Aim
	Sheet   *Picture
	Trust   *Picture            // how far to trust the gaps, place by place
	Preview map[string]*Picture // by shade id
	Merged  map[string]*Picture // by shade id
	Plan    *quantity.Plan      // the rest of the job; nil leaves it out

	Clusters []*Picture          // in the report's order
	Glances  map[string][]Glance // by shade id
}

//go:embed html/report.html
var pageHTML string

//go:embed html/report.css
var pageCSS string

// HTML writes report.html: one file that needs nothing else, so that it can be
// mailed to a client. Pictures are inside it as base64, a third larger than the
// files, because a page that refers to files beside it loses them on the way.
// It loads nothing, runs nothing (its policy forbids both, whatever slips into
// the text) and holds no date, so equal input gives equal bytes.
func HTML(w io.Writer, r Report, page Page) error {
	t, err := template.New("report").Parse(pageHTML)
	if err == nil {
		_, err = t.New("numbers").Parse(numbersHTML)
	}
	if err != nil {
		return fmt.Errorf("report.html: %w", err)
	}
	var buf bytes.Buffer // a fault in the template must not leave half a page
	if err := t.Execute(&buf, newView(&r, &page)); err != nil {
		return fmt.Errorf("report.html: %w", err)
	}
	_, err = w.Write(buf.Bytes())
	return err
}

// view is the page in ready words; the template only places them. Rounding and
// wording are done in Go, where they are tested, and not in the template.
type view struct {
	CSS        template.CSS
	Title, Aim string
	AimWords   string
	State      string // of the grout in the pictures, in words
	Sheet      *pictureView
	SheetAlt   string
	Trust      *pictureView
	TrustAlt   string
	TrustWords string
	Best       *shadeView
	Shades     []shadeView
	Chart      chart
	Clusters   []clusterView
	Far        *farView
	HasGlances bool
	Job        *jobView
	Facts      []fact
	Notes      []string
	OutlineDL  int
	OutlineAB  int
	WordLimits [3]int
}

type pictureView struct {
	Src  template.URL // data: address; see show
	W, H int          // px, so that the page does not jump while it is laid out
}

type fact struct{ Name, Value string }

// shadeView is one shade. Where a number has a range, the number is the middle
// tile and the range runs from the 10th to the 90th percentile.
type shadeView struct {
	ID, Name, Hex   string
	Paint           template.CSS // background of its patch
	Rank            int
	L               string
	Word, Side      string // contrast, and which way the joint goes
	DeltaL          string // signed
	DeltaLRange     string
	HyAB, HyABRange string
	DE00, DE00Range string
	Lost            string // share of the tile area
	Groups          int
	Largest         string // share of the tile area
	Score           string
	Reason          string
	Look            string // depth and cast
	Lab             string
	File            string // full-size picture in the output folder, "" if none
	Preview, Merged *pictureView
	PreviewAlt      string
	MergedAlt       string

	Pieces      string // pieces left, of the tiles laid
	Ties        string // ranks too close to call
	Shift, Grid string
	AfarPaint   template.CSS
	Against     []againstView
	Seen        []seenView
	Glances     []glanceView
	Terms       []termView
}

func newView(r *Report, page *Page) *view {
	v := &view{
		CSS:   template.CSS(pageCSS),
		Title: preview.Clean(preview.Heading(page.Title, r.Photo.Name)), Aim: string(page.Aim), AimWords: page.Aim.Words(), State: preview.LookOf(grout.State(r.Joint.State)),
		Sheet: show(page.Sheet), Trust: show(page.Trust), TrustAlt: "Map of the panel: where the gaps are sure and where not.",
		TrustWords: trustWords(r), Chart: newChart(r.Shades), Facts: facts(r),
		OutlineDL: outlineDeltaL, OutlineAB: outlineChroma, WordLimits: wordLimits,
	}
	v.Clusters, v.Far = clusterViews(r, page), newFarView(r)
	rank := map[string]int{}
	for i := range r.Shades {
		rank[r.Shades[i].ID] = r.Shades[i].Rank
	}
	for i := range r.Shades {
		s := newShadeView(&r.Shades[i], page)
		s.numbers(r, &r.Shades[i], page, rank)
		v.HasGlances = v.HasGlances || len(s.Glances) > 0
		v.Shades = append(v.Shades, s)
	}
	if len(v.Shades) > 0 {
		v.Best = &v.Shades[0]
	}
	for _, n := range r.Notes {
		v.Notes = append(v.Notes, unbroken(sentence(preview.Clean(n.Text))))
	}
	if page.Plan != nil {
		v.Job = newJobView(page.Plan)
	}
	v.SheetAlt = fmt.Sprintf("The bare layout and %s side by side, best first: %s.", preview.Count(len(v.Shades), "shade"), namesOf(v.Shades))
	return v
}

// The limits within which a tile loses its outline; contrast applies them, the
// page only explains them and draws their zone.
const (
	outlineDeltaL = contrast.MergeDeltaL // |ΔL*|
	outlineChroma = contrast.MergeChroma // √(Δa*² + Δb*²)
)

// wordLimits are the HyAB steps between contrast's words; a test holds them
// against contrast.Word.
var wordLimits = [3]int{5, 12, 30}

func newShadeView(s *Shade, page *Page) shadeView {
	c := s.Contrast
	hex := hexOf(s.Lab)
	v := shadeView{
		ID: s.ID, Name: preview.ShadeName(s.ID), Hex: hex, Paint: template.CSS("background:" + hex), Rank: s.Rank,
		L: fmt.Sprintf("%.0f", s.Lab[0]), Word: s.word(), Side: s.side(),
		DeltaL: signed(c.DeltaL.P50), DeltaLRange: signed(c.DeltaL.P10) + " to " + signed(c.DeltaL.P90),
		HyAB: fmt.Sprintf("%.0f", c.HyAB.P50), HyABRange: rangeOf(c.HyAB),
		DE00: fmt.Sprintf("%.0f", c.DE00.P50), DE00Range: rangeOf(c.DE00),
		Lost: preview.Percent(s.MergingShare), Groups: s.Merged.Groups, Largest: preview.Percent(s.Merged.LargestShare),
		Score: fmt.Sprintf("%.0f", s.Score), Reason: unbroken(s.Reason), Look: s.Depth + ", " + s.Cast,
		Lab:     fmt.Sprintf("L* %.1f, a* %s, b* %s", s.Lab[0], minus(s.Lab[1]), minus(s.Lab[2])),
		Preview: show(page.Preview[s.ID]), Merged: show(page.Merged[s.ID]),
	}
	if s.Files != nil {
		v.File = s.Files.Preview
	}
	v.PreviewAlt = "The panel grouted in " + v.Name + ": " + v.Word + ", " + v.Side + "."
	v.MergedAlt = fmt.Sprintf("Map of the tiles under %s: %s of the tile area has lost its outline, %s.",
		v.Name, v.Lost, preview.Count(v.Groups, "merged group"))
	return v
}

// jobView is the rest of the job: the figures of the job sheet without its notes.
type jobView struct {
	Amounts  []quantity.Amount
	Warnings []string
	Overrule string
}

func newJobView(p *quantity.Plan) *jobView {
	v := &jobView{Amounts: append(p.Amounts(), p.Schedule.Words()), Overrule: quantity.Overrule}
	for i := range v.Amounts {
		a := &v.Amounts[i]
		a.Value, a.Text = unbroken(a.Value), unbroken(a.Text)
	}
	for _, w := range p.Warnings {
		v.Warnings = append(v.Warnings, unbroken(w.Text))
	}
	return v
}

// hexOf is the nearest sRGB colour of a shade.
func hexOf(v [3]float64) string {
	return colormath.Lab{L: v[0], A: v[1], B: v[2]}.LinearRGB().Hex()
}

func rangeOf(s Spread) string { return fmt.Sprintf("%.0f to %.0f", s.P10, s.P90) }

// minus prints one decimal with a true minus sign.
func minus(v float64) string { return strings.Replace(decimal(v, 1), "-", "−", 1) }

// unbroken keeps a number and its percent sign on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " %", "\u00a0%") }

// sentence gives a note a capital and a full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + strings.TrimRight(string(r[1:]), ".") + "."
}

func namesOf(shades []shadeView) string {
	var n []string
	for i := range shades {
		n = append(n, shades[i].Name)
	}
	return strings.Join(n, ", ")
}

// show makes a picture part of the page. Only the two types that are made here
// pass, so the address can be trusted.
func show(p *Picture) *pictureView {
	if p == nil || len(p.Data) == 0 || p.Type != "image/jpeg" && p.Type != "image/png" {
		return nil
	}
	return &pictureView{
		Src: template.URL("data:" + p.Type + ";base64," + base64.StdEncoding.EncodeToString(p.Data)),
		W:   p.W, H: p.H,
	}
}
