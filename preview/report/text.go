package report

import (
	"bytes"
	"fmt"
	"io"

	"gapshade/preview"
	"gapshade/preview/quantity"
)

// Rules of the table: result only, so that it can be piped; no colour and no
// lines drawn with odd characters; shades under the ids that --shades takes.

// Text writes the result for a terminal: what was found, the shades best
// first, why the best is the best, the notes, and where the files are when
// folder is not empty. Plain characters, no colour, lines up to 80 wide except
// for a long folder name.
func Text(w io.Writer, r Report, folder string) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n", cut(preview.Clean(r.Photo.Name)+": "+found(&r), preview.TextWidth))
	table(&b, r.Shades)
	if len(r.Shades) > 0 {
		best := &r.Shades[0]
		fmt.Fprintf(&b, "\nfirst choice: %s\n", best.ID)
		paragraph(&b, "  ", best.Reason)
	}
	if r.Job != nil {
		jobLines(&b, r.Job)
	}
	if len(r.Notes) > 0 {
		fmt.Fprintln(&b)
	}
	for _, n := range r.Notes {
		paragraph(&b, "note: ", preview.Clean(n.Text))
	}
	if folder != "" {
		fmt.Fprintf(&b, "\n%s\n%s\n", look(&r), preview.Clean(folder))
	}
	_, err := w.Write(b.Bytes())
	return err
}

// look says which file shows what.
func look(r *Report) string {
	if r.Job == nil {
		return "sheet.jpg shows all side by side, report.html tells the rest; both are in"
	}
	return "sheet.jpg shows all side by side, report.html tells the rest,\njob.html (or job.pdf) is the sheet to work by; all are in"
}

// jobLines tell what to buy and mix, and what to beware of in this very job. The
// figures are those of the job sheet.
func jobLines(b *bytes.Buffer, j *quantity.Block) {
	u, kg := j.Given.Units, &j.PowderKg
	fmt.Fprintf(b, "\ngrout to buy: %s, %s, %s\n", u.Mass(kg.Buy), j.Kind, j.Class)
	lie := u.Mass(kg.Net) + " lie in the joints, " + u.Mass(kg.Allowed) + " with waste"
	if kg.Small {
		lie += "; small work really takes " + u.Mass(kg.Bench[0]) + " to " + u.Mass(kg.Bench[1])
	}
	paragraph(b, "  ", lie)
	paragraph(b, "  ", "mix "+batches(j)+", on the "+string(j.Schedule)+" clock")
	for _, w := range j.Warnings {
		paragraph(b, "  ", preview.Clean(w.Text))
	}
}

// batches counts the mixes and says what is in one.
func batches(j *quantity.Block) string {
	n, u := len(j.Batches), j.Given.Units
	if n == 0 {
		return "nothing"
	}
	each := u.Mass(j.Batches[0]) + " powder and " + u.Mass(j.WaterKg/float64(n)) + " water"
	if n == 1 {
		return each
	}
	return preview.Thousands(n) + " batches of " + each
}

func found(r *Report) string {
	text := preview.Count(r.Tiles.Count, "tile") + ", gaps " + preview.Percent(r.Gaps.Share) + " of the panel"
	if g := r.Gaps.gapWidth(); g != "" {
		text += ", middle gap " + g
	}
	return text
}

// idWidth is the room for an id; the built-in ones need 10, a longer one is cut.
const idWidth = 27

func table(b *bytes.Buffer, shades []Shade) {
	wide := len("shade")
	for i := range shades {
		wide = min(idWidth, max(wide, len(shades[i].ID)))
	}
	fmt.Fprintf(b, "\n %2s  %-*s %5s %-9s %5s %10s %7s %6s\n", "#", wide, "shade", "L*", "contrast", "HyAB", "no outline", "groups", "score")
	for i := range shades {
		s := &shades[i]
		fmt.Fprintf(b, " %2d  %-*s %5.1f %-9s %5.1f %10s %7d %6.1f\n", s.Rank, wide, cut(s.ID, wide), s.Lab[0],
			s.word(), s.Contrast.HyAB.P50, preview.Percent(s.MergingShare), s.Merged.Groups, s.Score)
	}
}

func paragraph(b *bytes.Buffer, lead, text string) { b.WriteString(preview.Paragraph(lead, text)) }

// cut shortens a line and marks the cut.
func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-3]) + "..."
}
