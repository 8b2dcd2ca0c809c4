package page

import (
	"bytes"
	"context"
	"io"
	"net/http"

	"gapshade/preview/folder"
)

// paperTypes are the papers that can be looked at without a full-size run.
var paperTypes = map[string]string{
	"job.html": "text/html; charset=utf-8", "job.pdf": "application/pdf", "clock.ics": "text/calendar; charset=utf-8",
	"report.html": "text/html; charset=utf-8",
}

// paperPolicy lets a paper use its own style and pictures and nothing else.
const paperPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// paper answers with a paper at working size. It is made whole before it is sent.
func (p *panel) paper(w http.ResponseWriter, r *http.Request, name string) error {
	var b bytes.Buffer
	do := p.s.light.do
	if name == "report.html" { // which shows all shades
		do = p.s.heavy.do
	}
	if err := do(r.Context(), func() error { return p.write(r.Context(), &b, name) }); err != nil {
		return err
	}
	w.Header().Set("Content-Type", paperTypes[name])
	w.Header().Set("Content-Security-Policy", paperPolicy)
	w.Write(b.Bytes())
	return nil
}

func (p *panel) write(ctx context.Context, to io.Writer, name string) error {
	p.bench.RLock()
	defer p.bench.RUnlock()
	if p.run == nil {
		return refuse(http.StatusConflict, "there is no such paper yet", "wait until the gaps are found")
	}
	if name == "report.html" {
		return p.run.Write(ctx, func(file string, fill func(io.Writer) error) error {
			if file == name {
				return fill(to)
			}
			return nil
		}, func(string) {})
	}
	sheet := p.run.Job
	switch {
	case sheet == nil:
		return misread("--size is needed for the job sheet", "measure the panel and say its size")
	case name == "clock.ics" && sheet.Start.IsZero():
		return misread("--start is needed for the calendar", "say when the water goes in")
	}
	return folder.JobFile(to, sheet, name)
}
