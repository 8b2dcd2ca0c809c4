package folder

import (
	"errors"
	"io"
	"time"

	"gapshade/preview"
	"gapshade/preview/job"
	"gapshade/preview/quantity"
	"gapshade/preview/report"
)

// narrowPx is the long side of the picture of narrow gaps on the sheet, px.
const narrowPx = 1200

// Asked is what a person says about a job beside what was measured.
type Asked struct {
	Input quantity.Input
	Start time.Time // the zero time = not known
	Title string
}

// Plan plans the rest of the job from a report, puts it into the report and
// gives the sheet; nil without a panel size. gap is the mask of gaps, the frame's
// size, where it is at hand: narrow gaps are found in it, and drawn. Whether the
// report is fresh or was read back, the same one gives the same sheet.
func Plan(r *report.Report, s Asked, gap []uint8, threads int) (*job.Sheet, error) {
	in, ok := r.Measured(s.Input)
	if !ok {
		return nil, nil
	}
	narrows, seen := r.Narrows(gap, threads)
	if seen {
		in.NarrowShare = narrows.Share
	}
	plan, err := quantity.Make(in)
	if err != nil {
		return nil, jobFault(&in, err)
	}
	sheet := &job.Sheet{Title: preview.Heading(s.Title, r.Photo.Name), Plan: plan, Start: s.Start}
	if len(r.Shades) > 0 {
		sheet.Grout = preview.ShadeName(r.Shades[0].ID) + " (first choice of the preview)"
	}
	if seen {
		small := narrows.Reduced(narrowPx)
		if sheet.Panel, err = job.DrawNarrow(&small, in.Units); err != nil {
			return nil, err
		}
	}
	r.Job = new(plan.Block(s.Title, s.Start))
	return sheet, nil
}

// jobFault says what to change: the kind of grout where that was asked for in
// vain, else the size, by which all lengths were measured.
func jobFault(in *quantity.Input, err error) error {
	if in.Kind == quantity.Unsanded && in.Joint.P90 > quantity.UnsandedToMm {
		return preview.FromJob(err)
	}
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		return &preview.Fault{Code: preview.CodeUsage, What: "the job can't be planned", Why: e.What, Flag: "size", Err: err,
			Next: "check --size, since all lengths are measured by it"}
	}
	return err
}

// JobFiles are the writers of the files of a sheet, none without one; the calendar
// only with a start.
func JobFiles(to Sink, s *job.Sheet) (out []func() error) {
	if s == nil {
		return nil
	}
	for _, name := range JobNames() {
		if name == calendar && s.Start.IsZero() {
			continue
		}
		out = append(out, func() error { return to(name, func(w io.Writer) error { return JobFile(w, s, name) }) })
	}
	return out
}

const calendar = "clock.ics"

// JobFile writes one file of a sheet, by its name.
func JobFile(w io.Writer, s *job.Sheet, name string) error {
	switch name {
	case "job.html":
		return job.HTML(w, *s)
	case "job.pdf":
		return job.PDF(w, *s)
	}
	return job.Calendar(w, *s)
}
