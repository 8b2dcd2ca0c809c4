package folder

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

// Sink takes one file: it calls fill with where its bytes go. It is called at the
// same time for different names.
type Sink func(name string, fill func(io.Writer) error) error

// Run is one proof on its way into files.
type Run struct {
	Report report.Report
	Job    *job.Sheet // nil without a panel size

	proof *preview.Proof
}

// New fills the report and plans the rest of the job, before any picture is drawn:
// a job that can't be stops the run here. Errors are *preview.Fault.
func New(p *preview.Proof) (*Run, error) {
	files := map[string]report.Files{}
	for _, t := range p.Trials {
		files[t.Shade.ID] = report.Files{Preview: previewName(t.Shade.ID), Merged: mergedName(t.Shade.ID)}
	}
	run := &Run{Report: report.FromProof(p, files), proof: p}
	s := Asked{Input: p.Settings.Job, Start: p.Settings.Start, Title: p.Settings.Title}
	s.Input.WidthMm, s.Input.HeightMm = p.Settings.WidthMm, p.Settings.HeightMm
	var err error
	run.Job, err = Plan(&run.Report, s, p.Map.Gap, p.Settings.Threads)
	return run, err
}

// Write gives every file of the run to the sink. drawing is told the id of each
// shade as it is begun, at the same time for different ones.
func (r *Run) Write(ctx context.Context, to Sink, drawing func(id string)) error {
	p := r.proof
	o := &output{p: p, r: r.Report, job: r.Job, sink: to, drawing: drawing,
		sheet: sheet.New(p), maps: sheet.NewMaps(p, report.MergedPx), large: sheet.NewMaps(p, mergedPx),
		page: report.Page{Title: p.Settings.Title, Aim: p.Settings.Aim,
			Preview: map[string]*report.Picture{}, Merged: map[string]*report.Picture{}, Glances: map[string][]report.Glance{}}}
	if o.job != nil {
		o.page.Plan = &o.job.Plan
	}
	o.canvases = make(chan *image.RGBA, len(p.Trials))
	if err := o.each(ctx); err != nil {
		return err
	}
	if err := o.papers(); err != nil {
		return err
	}
	return ctx.Err()
}

// output is what the files of one run share.
type output struct {
	p       *preview.Proof
	r       report.Report
	job     *job.Sheet // nil without a panel size
	sink    Sink
	drawing func(id string)
	sheet   *sheet.Sheet
	maps    *sheet.Maps // for the report's page
	large   *sheet.Maps // for the files
	mu      sync.Mutex

	canvases chan *image.RGBA // full-size pictures to paint on, as many as jobs run at a time
	page     report.Page
}

// each writes the files that don't depend on one another, a few at a time.
func (o *output) each(ctx context.Context) error {
	jobs := []func() error{o.gaps, o.tiles, o.table, o.bare, o.trust}
	for i := range o.p.Trials {
		jobs = append(jobs, func() error {
			o.drawing(o.p.Trials[i].Shade.ID)
			return o.shade(i)
		})
	}
	return inParallel(ctx, o.p.Settings.Threads, jobs)
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
	return o.sink("gaps.png", func(w io.Writer) error { return sheet.PNGGrey8(w, m.W, m.H, m.Gap) })
}

func (o *output) tiles() error {
	m := o.p.Map
	return o.sink("tiles.png", func(w io.Writer) error { return sheet.PNGGrey16(w, m.W, m.H, m.Label) })
}

func (o *output) table() error {
	return o.sink("contrast.csv", func(w io.Writer) error { return report.CSV(w, o.p) })
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

// bare puts the layout as it lies on the sheet, and draws its colours one by one.
func (o *output) bare() error {
	thumb := o.sheet.Thumb(o.p.Base())
	o.sheet.Add(sheet.Bare, thumb)
	for _, img := range o.sheet.Clusters(o.p, thumb) {
		pic, err := jpegPicture(img)
		if err != nil {
			return err
		}
		o.page.Clusters = append(o.page.Clusters, pic)
	}
	return nil
}

// trust draws how sure the gaps are, for the page.
func (o *output) trust() error {
	pic, err := pngPicture(o.maps.Trust())
	o.page.Trust = pic // no other job touches it
	return err
}

// glances are the small pictures of one shade as seen from each distance.
func (o *output) glances(i int, full, thumb *image.RGBA) ([]report.Glance, error) {
	var out []report.Glance
	for _, at := range o.p.Trials[i].At {
		g, ok := o.sheet.GlanceFrom(o.p, at.DistanceM, report.ScreenMm)
		if !ok {
			continue
		}
		pic, err := jpegPicture(g.Draw(full, thumb))
		if err != nil {
			return nil, err
		}
		out = append(out, report.Glance{DistanceM: at.DistanceM, WidthMm: g.WidthMm, Cut: g.Cut, Picture: pic})
	}
	return out, nil
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
	if err := o.sink(previewName(id), func(w io.Writer) error { return sheet.JPEG(w, full, fullQuality) }); err != nil {
		return err
	}
	if err := o.sink(mergedName(id), func(w io.Writer) error { return sheet.PNGPaletted(w, o.large.Draw(i)) }); err != nil {
		return err
	}
	merged, err := pngPicture(o.maps.Draw(i))
	if err != nil {
		return err
	}
	glances, err := o.glances(i, full, thumb)
	if err != nil {
		return err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.page.Preview[id], o.page.Merged[id], o.page.Glances[id] = small, merged, glances
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
		return func() error { return o.sink(name, fill) }
	}
	return inParallel(context.Background(), o.p.Settings.Threads, append(JobFiles(o.sink, o.job),
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
