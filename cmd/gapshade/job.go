package main

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/job"
	"gapshade/preview/quantity"
	"gapshade/preview/report"
	"gapshade/preview/said"
)

// sheetWords are the flags of job as typed.
type sheetWords struct {
	said.Job
	size, tile, joint, title, out string
	json, force                   bool
}

func jobCommand(t *talk) *cobra.Command {
	w := &sheetWords{}
	c := &cobra.Command{
		Use:   "job [REPORT]",
		Short: "tell how much grout, of which kind, mixed when, and safely",
		Long: `job works out the rest of the job: powder and water, the kind of grout, batches,
the clock and the cautions. It takes the sizes of panel, tile and joint, or the
report.json of an earlier preview, whose gaps were measured; flags then change
what was said at the time.`,
		Example: `  gapshade job --size 400x300mm --tile 20x20mm --joint 2mm --material glass
  gapshade job layout-grout/report.json --start 2026-05-04T10:00 --out sheet`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return argFault("job takes one report; %d given", "gapshade job layout-grout/report.json", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return w.run(t, args) },
	}
	w.register(c.Flags())
	return c
}

// register defines every flag once, in the order of the help text.
func (w *sheetWords) register(f *pflag.FlagSet) {
	f.SortFlags = false
	f.StringVar(&w.size, "size", "", "panel width x height, such as 400x300mm or \"15x11 3/4in\"")
	f.StringVar(&w.tile, "tile", "", "one tile, width x height, such as 20x20mm")
	f.StringVar(&w.joint, "joint", "", "joint width, such as 2mm or 1/16in")
	registerJob(f, &w.Job)
	f.StringVar(&w.title, "title", "", "heading of the sheet")
	f.StringVar(&w.out, "out", "", "folder to write job.html, job.pdf and clock.ics into; left out, the sheet is only printed")
	f.BoolVar(&w.force, "force", false, "replace the files of an earlier run")
	f.BoolVar(&w.json, "json", false, "print the job block of report.json on stdout and nothing else")
}

// run is the command: a sheet, its files, its words.
func (w *sheetWords) run(t *talk, args []string) error {
	plan, source := w.fromSizes, ""
	if len(args) == 1 {
		source = args[0]
		plan = func() (*job.Sheet, *quantity.Block, error) { return w.fromReport(source) }
	}
	sheet, block, err := plan()
	if err != nil {
		return err
	}
	if w.out != "" {
		if err := w.write(sheet, source); err != nil {
			return err
		}
	}
	if w.json {
		return report.JobJSON(t.out, *block)
	}
	if err := job.Text(t.out, *sheet); err != nil {
		return err
	}
	w.where(t, sheet)
	return nil
}

// fromSizes plans a rectangle of equal tiles.
func (w *sheetWords) fromSizes() (*job.Sheet, *quantity.Block, error) {
	if w.size == "" || w.tile == "" || w.joint == "" {
		return nil, nil, argFault("job needs --size, --tile and --joint, or a report.json",
			"gapshade job --size 400x300mm --tile 20x20mm --joint 2mm, or gapshade job layout-grout/report.json")
	}
	in, s := quantity.Default(), folder.Asked{Title: w.title}
	var err error
	if in.WidthMm, in.HeightMm, err = preview.ParseSize(w.size); err != nil {
		return nil, nil, argFault("--size: %v", "write width x height with a unit, such as --size 400x300mm", err)
	}
	if in.TileWMm, in.TileHMm, err = preview.ParseSize(w.tile); err != nil {
		return nil, nil, argFault("--tile: %v", "write width x height with a unit, such as --tile 20x20mm", err)
	}
	if in.JointMm, err = preview.ParseLength(w.joint); err != nil {
		return nil, nil, argFault("--joint: %v", "such as --joint 2mm", err)
	}
	if err := w.Apply(&in, &s.Start); err != nil {
		return nil, nil, err
	}
	plan, err := quantity.Make(in)
	if err != nil {
		return nil, nil, preview.FromJob(err)
	}
	return &job.Sheet{Title: s.Title, Plan: plan, Start: s.Start}, new(plan.Block(s.Title, s.Start)), nil
}

// fromReport plans from what an earlier preview measured.
func (w *sheetWords) fromReport(name string) (*job.Sheet, *quantity.Block, error) {
	if w.tile != "" || w.joint != "" {
		return nil, nil, argFault("tile and joint were measured in the report", "leave out --tile and --joint, or leave out the report")
	}
	r, dir, err := readReport(name)
	if err != nil {
		return nil, nil, err
	}
	var s folder.Asked
	if s.Input, s.Title, s.Start, err = r.Said(); err != nil {
		return nil, nil, err
	}
	if w.title != "" {
		s.Title = w.title
	}
	if err := w.resize(&r, &s.Input); err != nil {
		return nil, nil, err
	}
	if err := w.Apply(&s.Input, &s.Start); err != nil {
		return nil, nil, err
	}
	sheet, err := folder.Plan(&r, s, readMask(dir, r.Frame.Width, r.Frame.Height), 0)
	if err != nil {
		return nil, nil, err
	}
	if sheet == nil {
		return nil, nil, argFault("%s doesn't know the panel's size", "measure the panel and add --size, such as --size 380x300mm", name)
	}
	return sheet, r.Job, nil
}

// resize gives a report the panel size that was typed.
func (w *sheetWords) resize(r *report.Report, in *quantity.Input) (err error) {
	if w.size == "" {
		return nil
	}
	if in.WidthMm, in.HeightMm, err = preview.ParseSize(w.size); err != nil {
		return argFault("--size: %v", "write width x height with a unit, such as --size 380x300mm", err)
	}
	in.NarrowShare = -1 // it was measured at the other scale
	return r.Rescale(in.WidthMm, in.HeightMm)
}

// readReport reads report.json, or the one in a folder, and gives the folder.
func readReport(name string) (report.Report, string, error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		name = filepath.Join(name, "report.json")
	}
	f, err := os.Open(name)
	if err != nil {
		return report.Report{}, "", &preview.Fault{Code: preview.CodePhoto, What: "can't read " + name, Why: plainly(err), Err: err,
			Next: "give the report.json that gapshade preview wrote, or the folder it is in"}
	}
	defer f.Close()
	r, err := report.Read(f, name)
	return r, filepath.Dir(name), err
}

// readMask reads gaps.png beside a report, nil where it is not, or is another
// panel's: then narrow gaps are known by their share only, and not drawn.
func readMask(folder string, w, h int) []uint8 {
	f, err := os.Open(filepath.Join(folder, "gaps.png"))
	if err != nil {
		return nil
	}
	defer f.Close()
	c, err := png.DecodeConfig(f)
	if err != nil || c.Width != w || c.Height != h {
		return nil
	}
	if _, err := f.Seek(0, 0); err != nil {
		return nil
	}
	img, err := png.Decode(f)
	if grey, ok := img.(*image.Gray); ok && err == nil && grey.Stride == w {
		return grey.Pix
	}
	return nil
}

// write puts the files into the folder, all or none.
func (w *sheetWords) write(sheet *job.Sheet, source string) error {
	f, err := openFolder(w.out, []string{source}, folder.JobNames(), w.force)
	if err != nil {
		return err
	}
	defer f.end()
	if err := f.begin(); err != nil {
		return err
	}
	for _, file := range folder.JobFiles(f.write, sheet) {
		if err := file(); err != nil {
			return err
		}
	}
	return f.commit()
}

// where says what else there is to read.
func (w *sheetWords) where(t *talk, s *job.Sheet) {
	switch {
	case w.out == "":
		fmt.Fprint(t.out, "\nchecks, mixing, sources: add --out FOLDER for job.html and job.pdf\n")
	case s.Start.IsZero():
		fmt.Fprintf(t.out, "\njob.html and job.pdf are in\n%s\n", printable(w.out))
	default:
		fmt.Fprintf(t.out, "\njob.html, job.pdf and clock.ics are in\n%s\n", printable(w.out))
	}
}

// plainly is the cause of a file's error without its path.
func plainly(err error) string {
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		return pe.Err.Error()
	}
	return err.Error()
}
