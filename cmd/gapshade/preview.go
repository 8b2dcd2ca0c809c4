package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/photo"
	"gapshade/preview/report"
)

func previewCommand(t *talk) *cobra.Command {
	w := &words{}
	c := &cobra.Command{
		Use:   "preview PHOTO",
		Short: "fill the gaps of a dry layout with candidate grouts and rank them",
		Long: `preview finds the gaps in a photo of tiles laid dry, fills them with each shade
as it will look cured, and writes pictures, a report and a table into a folder.`,
		Example: `  gapshade preview layout.jpg
  gapshade preview layout.jpg --size 380x300mm --bed white --aim outline
  gapshade preview white.jpg --bed white --second black.jpg --second-bed black`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return nil
			}
			return argFault("preview takes one photo; %d given", "gapshade preview layout.jpg", len(args))
		},
		RunE: func(c *cobra.Command, args []string) error { return w.preview(c.Context(), t, args[0]) },
	}
	w.register(c.Flags())
	return c
}

// preview is the main job: photo in, folder out.
func (w *words) preview(ctx context.Context, t *talk, name string) error {
	t.quiet = w.quiet || w.json
	s, err := w.Settings()
	if err != nil {
		return err
	}
	to, err := openFolder(w.folder(name), []string{name, w.second}, folder.Names(s.Shades), w.force)
	if err != nil {
		return err
	}
	t.progress("reading %s", filepath.Base(name))
	// Lean: the linear picture, twelve bytes per pixel, is made for the analysis
	// and goes when the proof is made.
	ph, err := photo.OpenFile(ctx, name, photo.Limits{Threads: s.Threads, Lean: true})
	if err != nil {
		return preview.FromPhoto(err)
	}
	boundMemory(ph.W * ph.H)
	if w.marks != "" {
		if s.Marks, err = preview.OpenMarks(ctx, w.marks, ph, photo.Limits{Threads: s.Threads, Lean: true}); err != nil {
			return err
		}
	}
	if w.second != "" {
		t.progress("reading %s", filepath.Base(w.second))
		if s.Second, err = photo.OpenFile(ctx, w.second, photo.Limits{Threads: s.Threads, Lean: true}); err != nil {
			return secondFault(preview.FromPhoto(err))
		}
		boundMemory(ph.W*ph.H + s.Second.W*s.Second.H/2) // read reduced, never as a whole
	}
	t.progress("finding the gaps")
	p, err := preview.Make(ctx, ph, s)
	if err != nil {
		return whereFault(err, name)
	}
	r, err := writeAll(ctx, t, p, to)
	if err != nil {
		return err
	}
	switch {
	case w.json:
		return report.JSON(t.out, r)
	case w.quiet:
		return nil
	}
	return report.Text(t.out, r, to.path)
}

// secondFault says that it was the second photo that couldn't be read.
func secondFault(err error) error {
	f, ok := errors.AsType[*preview.Fault](err)
	if !ok {
		return err
	}
	g := *f
	g.What = "second photo " + f.What
	return &g
}

// folder is where the outputs go.
func (w *words) folder(name string) string {
	if w.out != "" {
		return w.out
	}
	base := filepath.Base(name)
	return filepath.Join(filepath.Dir(name), strings.TrimSuffix(base, filepath.Ext(base))+"-grout")
}

// whereFault puts the photo's name in front of a fault that lacks it.
func whereFault(err error, name string) error {
	f, ok := errors.AsType[*preview.Fault](err)
	if !ok || f.Code == preview.CodeUsage {
		return err
	}
	g := *f
	g.What = filepath.Base(name) + ": " + f.What
	return &g
}

// outputFault is a file or folder that can't be written.
func outputFault(path string, err error) error {
	why := err.Error()
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		why = pe.Err.Error()
	} else if le, ok := errors.AsType[*os.LinkError](err); ok {
		why = le.Err.Error()
	}
	return &preview.Fault{Code: preview.CodeOutput, What: "can't write " + path, Why: why,
		Next: "choose another folder with --out, or make room", Err: err}
}
