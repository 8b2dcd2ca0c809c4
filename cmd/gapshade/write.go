package main

import (
	"context"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/report"
)

// writeAll writes every file of the run and returns the report.
func writeAll(ctx context.Context, t *talk, p *preview.Proof, f *outFolder) (report.Report, error) {
	run, err := folder.New(p)
	if err != nil {
		return report.Report{}, err
	}
	defer f.end()
	if err := f.begin(); err != nil {
		return run.Report, err
	}
	drawing := func(id string) { t.progress("drawing %s", preview.ShadeName(id)) }
	if err := run.Write(ctx, f.write, drawing); err != nil {
		return run.Report, err
	}
	return run.Report, f.commit()
}
