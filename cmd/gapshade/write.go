package main

import (
	"bytes"
	"context"
	"image"
	"io"
	"runtime"
	"sync"
	"sync/atomic"

	"gapshade/preview"
	"gapshade/preview/job"
	"gapshade/preview/report"
	"gapshade/preview/sheet"
)

// Quality of the JPEGs: of full-size previews and of the sheet; and of the
// reduced copies inside report.html, which must stay small enough to mail.
const (
	fullQuality = 92
	pageQuality = 84
)

// mergedPx is the long side of a merged-<id>.png, px.
const mergedPx = 1600

// output is what one run writes and shares between its files.
type output struct {
	p      *preview.Proof
	r      report.Report
	job    *job.Sheet // nil without a panel size
	folder *folder
	sheet  *sheet.Sheet
	maps   *sheet.Maps // for the report's page
	large  *sheet.Maps // for the files
	mu     sync.Mutex

	canvases chan *image.RGBA // full-size pictures to paint on, as many as jobs run at a time
	page     report.Page
}

// reported fills the report and plans the rest of the job, before any picture is
// drawn: a job that can't be stops the run here.
func reported(p *preview.Proof) (report.Report, *job.Sheet, error) {
	files := map[string]report.Files{}
	for _, t := range p.Trials {
		files[t.Shade.ID] = report.Files{Preview: previewName(t.Shade.ID), Merged: mergedName(t.Shade.ID)}
	}
	r := report.FromProof(p, files)
	s := said{in: p.Settings.Job, start: p.Settings.Start, title: p.Settings.Title}
	s.in.WidthMm, s.in.HeightMm = p.Settings.WidthMm, p.Settings.HeightMm
	sheet, err := planned(&r, s, p.Map.Gap, p.Settings.Threads)
	return r, sheet, err
}

// writeAll writes every file of the run and returns the report.
func writeAll(ctx context.Context, t *talk, p *preview.Proof, f *folder) (report.Report, error) {
	r, paper, err := reported(p)
	if err != nil {
		return r, err
	}
	defer f.end()
	if err := f.begin(); err != nil {
		return r, err
	}
	o := &output{p: p, r: r, job: paper, folder: f, sheet: sheet.New(p), maps: sheet.NewMaps(p, report.MergedPx), large: sheet.NewMaps(p, mergedPx),
		page: report.Page{Title: p.Settings.Title, Aim: p.Settings.Aim,
			Preview: map[string]*report.Picture{}, Merged: map[string]*report.Picture{}}}
	if o.job != nil {
		o.page.Plan = &o.job.Plan
	}
	o.canvases = make(chan *image.RGBA, len(p.Trials))
	if err := o.each(ctx, t, p.Settings.Threads); err != nil {
		return r, err
	}
	if err := o.papers(); err != nil {
		return r, err
	}
	if err := ctx.Err(); err != nil {
		return r, err
	}
	return r, f.commit()
}

// each writes the files that don't depend on one another, a few at a time.
func (o *output) each(ctx context.Context, t *talk, threads int) error {
	jobs := []func() error{o.gaps, o.tiles, o.table, o.bare}
	for i := range o.p.Trials {
		jobs = append(jobs, func() error {
			t.progress("drawing %s", preview.ShadeName(o.p.Trials[i].Shade.ID))
			return o.shade(i)
		})
	}
	return inParallel(ctx, threads, jobs)
}

// inParallel runs the jobs, threads at a time (0 = one per processor), and
// returns the first error.
func inParallel(ctx context.Context, threads int, jobs []func() error) error {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	errs := make([]error, len(jobs))
	var wg sync.WaitGroup
	for range min(threads, len(jobs)) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(jobs) || ctx.Err() != nil {
					return
				}
				errs[i] = jobs[i]()
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

func (o *output) gaps() error {
	m := o.p.Map
	return o.folder.write("gaps.png", func(w io.Writer) error { return sheet.PNGGrey8(w, m.W, m.H, m.Gap) })
}

func (o *output) tiles() error {
	m := o.p.Map
	return o.folder.write("tiles.png", func(w io.Writer) error { return sheet.PNGGrey16(w, m.W, m.H, m.Label) })
}

func (o *output) table() error {
	return o.folder.write("contrast.csv", func(w io.Writer) error { return report.CSV(w, o.p) })
}

// canvas takes a free one, or makes the next.
func (o *output) canvas() *image.RGBA {
	select {
	case c := <-o.canvases:
		return c
	default:
		return o.p.Canvas()
	}
}

// bare puts the layout as it lies on the sheet.
func (o *output) bare() error {
	o.sheet.Add(sheet.Bare, o.sheet.Thumb(o.p.Base()))
	return nil
}

// shade draws one shade and writes its two pictures.
func (o *output) shade(i int) error {
	id := o.p.Trials[i].Shade.ID
	full := o.canvas()
	defer func() { o.canvases <- full }()
	o.p.Paint(full, i)
	thumb := o.sheet.Thumb(full)
	o.sheet.Add(i, thumb)
	small, err := jpegPicture(thumb) // the page shows the same reduction
	if err != nil {
		return err
	}
	if err := o.folder.write(previewName(id), func(w io.Writer) error { return sheet.JPEG(w, full, fullQuality) }); err != nil {
		return err
	}
	if err := o.folder.write(mergedName(id), func(w io.Writer) error { return sheet.PNGPaletted(w, o.large.Draw(i)) }); err != nil {
		return err
	}
	merged, err := pngPicture(o.maps.Draw(i))
	if err != nil {
		return err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.page.Preview[id], o.page.Merged[id] = small, merged
	return nil
}

// papers writes the sheet and the reports, which need all shades, and the job
// sheet.
func (o *output) papers() (err error) {
	img := o.sheet.Image()
	if o.page.Sheet, err = jpegPicture(sheet.Reading(img, report.SheetPx)); err != nil {
		return err
	}
	file := func(name string, fill func(io.Writer) error) func() error {
		return func() error { return o.folder.write(name, fill) }
	}
	return inParallel(context.Background(), o.p.Settings.Threads, append(sheetFiles(o.folder, o.job),
		file("sheet.jpg", func(w io.Writer) error { return sheet.JPEG(w, img, fullQuality) }),
		file("report.html", func(w io.Writer) error { return report.HTML(w, o.r, o.page) }),
		file("report.json", func(w io.Writer) error { return report.JSON(w, o.r) }),
	))
}

func jpegPicture(img *image.RGBA) (*report.Picture, error) {
	var b bytes.Buffer
	err := sheet.JPEG(&b, img, pageQuality)
	return &report.Picture{Type: "image/jpeg", Data: b.Bytes(), W: img.Bounds().Dx(), H: img.Bounds().Dy()}, err
}

func pngPicture(img *image.Paletted) (*report.Picture, error) {
	var b bytes.Buffer
	err := sheet.PNGPaletted(&b, img)
	return &report.Picture{Type: "image/png", Data: b.Bytes(), W: img.Bounds().Dx(), H: img.Bounds().Dy()}, err
}
