package main

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gapshade/preview"
	"gapshade/preview/chips"
	"gapshade/preview/grout"
	"gapshade/preview/light"
	"gapshade/preview/photo"
)

// measureWords are the flags of shades measure as typed.
type measureWords struct {
	reference, card, chips, ids, csv string
	force                            bool
}

func measureCommand(t *talk) *cobra.Command {
	w := &measureWords{}
	c := &cobra.Command{
		Use:   "measure PHOTO",
		Short: "read cured sample chips from a photo into a shades file",
		Long: `measure finds cured samples of grout on a plain white, grey or black sheet,
reads their colours against the sheet, and writes a file for preview --shades.`,
		Example: "  gapshade shades measure chips.jpg --reference white --ids sand,slate\n  gapshade shades measure chips.jpg --reference grey --card 1800,240,60",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return nil
			}
			return argFault("measure takes one photo; %d given", "gapshade shades measure chips.jpg", len(args))
		},
		RunE: func(c *cobra.Command, args []string) error { return w.measure(c.Context(), t, args[0]) },
	}
	f := c.Flags()
	f.SortFlags = false
	f.StringVar(&w.reference, "reference", "white", "colour of the sheet the samples lie on: white, grey, black or #rrggbb")
	f.StringVar(&w.card, "card", "", "a card of the reference colour beside the samples: centre and radius of a disc on it, in px of the upright photo; the sheet's own colour then doesn't matter")
	f.StringVar(&w.chips, "chips", "", "boxes round the samples: left, top, width, height, in px of the upright photo; left out, they are found")
	f.StringVar(&w.ids, "ids", "", "names for the samples in reading order, separated by commas (left out, chip-1, chip-2 and so on)")
	f.StringVar(&w.csv, "csv", "", "the file to write (left out, <photo name>-shades.csv beside the photo)")
	f.BoolVar(&w.force, "force", false, "replace an earlier file")
	return c
}

// finePixels is as much of a photo as samples need.
const finePixels = 1_000_000

// measure reads the photo, prints the colours, and writes the file.
func (w *measureWords) measure(ctx context.Context, t *talk, name string) error {
	o, err := w.options()
	if err != nil {
		return err
	}
	out := w.file(name)
	if _, err := os.Lstat(out); err == nil && !w.force {
		return &preview.Fault{Code: preview.CodeOutput, What: out + " exists already", Next: "add --force to replace it, or name another file with --csv"}
	}
	if a, b := stat(out), stat(name); a != nil && b != nil && os.SameFile(a, b) {
		return &preview.Fault{Code: preview.CodeOutput, What: out + " is the photo itself", Next: "name another file with --csv"}
	}
	ph, err := photo.OpenFile(ctx, name, photo.Limits{Lean: true})
	if err != nil {
		return preview.FromPhoto(err)
	}
	pic, factor := ph.Reduced(finePixels)
	found, err := chips.Measure(pic, reduced(o, factor))
	if err != nil {
		return w.fault(name, err, factor)
	}
	shades, err := w.named(found)
	if err != nil {
		return err
	}
	if err := writeFile(out, func(to io.Writer) error { return grout.WriteMeasured(to, shades) }); err != nil {
		return err
	}
	return printChips(t.out, found, shades, factor, out)
}

func stat(path string) os.FileInfo {
	info, _ := os.Stat(path)
	return info
}

// options reads the words. Errors are *preview.Fault with the usage code.
func (w *measureWords) options() (o chips.Options, err error) {
	bed, err := preview.ParseBed(w.reference)
	if err != nil || !bed.Known {
		return o, argFault("--reference %s is not a colour", "use white, grey, black or a colour like #c8b090", quote(w.reference))
	}
	o.Reference = bed.Lab
	if w.card != "" {
		if o.Card, err = preview.ParseCard(w.card); err != nil {
			return o, argFault("--card: %v", "such as --card 200,150,40", err)
		}
	}
	if w.chips != "" {
		if o.Boxes, err = parseBoxes(w.chips); err != nil {
			return o, argFault("--chips: %v", `such as --chips "120,80,300,200 520,80,300,200"`, err)
		}
	}
	return o, nil
}

// parseBoxes reads "x,y,w,h x,y,w,h".
func parseBoxes(s string) (boxes []image.Rectangle, err error) {
	for _, f := range strings.Fields(s) {
		var v [4]int
		parts := strings.Split(f, ",")
		if len(parts) != len(v) {
			return nil, fmt.Errorf("%q is not a box; write left,top,width,height", f)
		}
		for i, p := range parts {
			if v[i], err = strconv.Atoi(p); err != nil || v[i] < 0 || v[i] > 1e6 {
				return nil, fmt.Errorf("%q is not a whole number of pixels", p)
			}
		}
		boxes = append(boxes, image.Rect(v[0], v[1], v[0]+v[2], v[1]+v[3]))
	}
	if len(boxes) == 0 {
		return nil, errors.New("no box is given")
	}
	return boxes, nil
}

// reduced turns photo pixels into those of the reduced picture.
func reduced(o chips.Options, factor int) chips.Options {
	k := float64(factor)
	if o.Card != nil {
		o.Card = &light.Card{X: (o.Card.X+.5)/k - .5, Y: (o.Card.Y+.5)/k - .5, R: o.Card.R / k}
	}
	boxes := make([]image.Rectangle, len(o.Boxes))
	for i, b := range o.Boxes {
		boxes[i] = image.Rect(b.Min.X/factor, b.Min.Y/factor, b.Max.X/factor, b.Max.Y/factor)
	}
	o.Boxes = boxes
	return o
}

// file is where the shades go.
func (w *measureWords) file(name string) string {
	if w.csv != "" {
		return w.csv
	}
	base := filepath.Base(name)
	return filepath.Join(filepath.Dir(name), strings.TrimSuffix(base, filepath.Ext(base))+"-shades.csv")
}

// named gives every sample its id.
func (w *measureWords) named(found []chips.Chip) ([]grout.Measured, error) {
	var ids []string
	if w.ids != "" {
		if ids = strings.Split(w.ids, ","); len(ids) != len(found) {
			return nil, argFault("--ids names %d samples; %d were found", "name them in reading order, or give boxes with --chips", len(ids), len(found))
		}
	}
	var out []grout.Measured
	seen := map[string]bool{}
	for i, c := range found {
		id := fmt.Sprintf("chip-%d", i+1)
		if ids != nil {
			id = strings.TrimSpace(ids[i])
		}
		s, err := grout.New(id, c.Lab)
		if err != nil || seen[id] {
			return nil, argFault("--ids: %s can't be an id here", "use a-z, 0-9 and -, each id once", quote(id))
		}
		seen[id] = true
		out = append(out, grout.Measured{Shade: s, Doubt: c.Doubt})
	}
	return out, nil
}

// fault dresses what chips says.
func (w *measureWords) fault(name string, err error, factor int) error {
	f := &preview.Fault{Code: preview.CodeNoGaps, What: filepath.Base(name) + ": the samples can't be read", Why: err.Error(), Err: err}
	if e, ok := errors.AsType[*chips.BoxError](err); ok {
		b := e.Box
		f.Code = preview.CodeUsage
		f.What += fmt.Sprintf(" at %d,%d (%d x %d px)", b.Min.X*factor, b.Min.Y*factor, b.Dx()*factor, b.Dy()*factor)
		f.Next = "give places on the photo, in pixels of the upright photo, 100 px or larger"
		return f
	}
	switch {
	case errors.Is(err, chips.ErrNoColour):
		f.Next = "take the photo a little darker, or lighter for a black sheet"
	case errors.Is(err, chips.ErrNoSheet):
		f.Next = "lay the samples on plain white or grey paper that fills the photo, evenly lit, or mark a card with --card and the samples with --chips"
	default:
		f.Next = `lay them apart and clear of the sheet's edge, or give boxes, such as --chips "120,80,300,200"`
	}
	return f
}

// printChips prints a line per sample, with what it is worth.
func printChips(to io.Writer, found []chips.Chip, shades []grout.Measured, factor int, out string) error {
	fmt.Fprintf(to, "%-12s %5s %4s %6s %4s %6s %4s  %-8s %s\n", "id", "L*", "+-", "a*", "+-", "b*", "+-", "hex", "where")
	for i, m := range shades {
		c, d, b := m.Shade.Lab, m.Doubt, found[i].Box
		fmt.Fprintf(to, "%-12s %5.1f %4.1f %6.1f %4.1f %6.1f %4.1f  %-8s %d,%d,%d,%d\n", m.Shade.ID,
			c.L, d.L, noMinus(c.A), d.A, noMinus(c.B), d.B, c.LinearRGB().Hex(), b.Min.X*factor, b.Min.Y*factor, b.Dx()*factor, b.Dy()*factor)
	}
	for i, c := range found {
		if c.Burnt > .05 {
			fmt.Fprintf(to, "note: %.0f %% of %s is burnt out or black; its colour is not sure\n", 100*c.Burnt, shades[i].Shade.ID)
		}
	}
	_, err := fmt.Fprintf(to, "\nA photo is not a measurement: +- is one standard deviation, of the reference,\nthe light and the camera's tone curve. For preview: --shades %s\n", printable(out))
	return err
}

// writeFile writes one file by way of a temporary name, so that a failed run leaves
// no half of it.
func writeFile(path string, fill func(io.Writer) error) error {
	temp, err := os.CreateTemp(filepath.Dir(path), ".gapshade-")
	if err != nil {
		return outputFault(path, err)
	}
	defer os.Remove(temp.Name())
	err = fill(temp)
	if e := temp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(temp.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(temp.Name(), path)
	}
	if err != nil {
		return outputFault(path, err)
	}
	return nil
}
