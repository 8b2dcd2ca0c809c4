package page

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/chips"
	"gapshade/preview/grout"
)

// coloured is a shade for the page.
type coloured struct {
	ID    string     `json:"id"`
	Depth string     `json:"depth,omitempty"`
	Cast  string     `json:"cast,omitempty"`
	Lab   [3]float64 `json:"lab"`
	Hex   string     `json:"hex"`
}

func colouredOf(s grout.Shade) coloured {
	return coloured{s.ID, s.Depth, s.Cast, rounded(s.Lab), s.Lab.LinearRGB().Hex()}
}

// rounded keeps two decimals: a photo knows no more.
func rounded(c colormath.Lab) [3]float64 {
	at := func(v float64) float64 { return math.Round(100*v)/100 + 0 }
	return [3]float64{at(c.L), at(c.A), at(c.B)}
}

// chipPixels is as much of a photo as samples need.
const chipPixels = 1_000_000

// postChips reads cured samples from a photo.
func (s *Server) postChips(w http.ResponseWriter, r *http.Request) {
	var out []coloured
	err := s.uploads.do(r.Context(), func() error {
		f, err := s.readForm(w, r, "reference")
		if err != nil {
			return err
		}
		defer f.drop(s.store)
		return s.heavy.do(r.Context(), func() error {
			out, err = readChips(r.Context(), f)
			return err
		})
	})
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, http.StatusOK, map[string]any{"shades": out})
}

func readChips(ctx context.Context, f *form) ([]coloured, error) {
	bed, err := preview.ParseBed(cmp.Or(f.fields["reference"], "white"))
	if err != nil || !bed.Known {
		return nil, misread(fmt.Sprintf("--reference %q is not a colour", f.fields["reference"]), "use white, grey, black or a colour like #c8b090")
	}
	ph, err := readPhoto(ctx, cmp.Or(f.name, "photo"), f.photo)
	if err != nil {
		return nil, err
	}
	pic, _ := ph.Reduced(chipPixels)
	found, err := chips.Measure(pic, chips.Options{Reference: bed.Lab})
	if err != nil {
		next := "lay the samples apart on plain white or grey paper that fills the photo, evenly lit"
		if errors.Is(err, chips.ErrNoColour) {
			next = "take the photo a little darker, or lighter for a black sheet"
		}
		return nil, &preview.Fault{Code: preview.CodeNoGaps, What: ph.Name + ": the samples can't be read", Why: err.Error(), Next: next, Err: err}
	}
	out := []coloured{}
	for i, c := range found {
		shade, err := grout.New(fmt.Sprintf("chip-%d", i+1), c.Lab)
		if err != nil {
			return nil, err
		}
		out = append(out, colouredOf(shade))
	}
	return out, nil
}

// postBlend predicts two powders mixed.
func postBlend(w http.ResponseWriter, r *http.Request) {
	type powder struct {
		Lab lab `json:"lab"`
	}
	var in struct {
		A     powder     `json:"a"`
		B     powder     `json:"b"`
		Parts [2]float64 `json:"parts"`
	}
	if err := readJSON(w, r, &in); err != nil {
		fail(w, err)
		return
	}
	own := func(id string, p powder) (grout.Shade, error) {
		return grout.Own(id, colormath.Lab{L: p.Lab[0], A: p.Lab[1], B: p.Lab[2]})
	}
	a, errA := own("a", in.A)
	b, errB := own("b", in.B)
	if err := cmp.Or(errA, errB); err != nil {
		fail(w, misread(err.Error(), "name two shades by L*, a* and b*"))
		return
	}
	share, err := grout.ParseParts(fmt.Sprintf("%g:%g", in.Parts[0], in.Parts[1]))
	if err != nil {
		fail(w, misread(err.Error(), "say parts by weight, such as 2 and 1"))
		return
	}
	mix := grout.Blend{A: a, B: b}.At(share)
	reply(w, http.StatusOK, map[string]any{"lab": rounded(mix.Lab), "hex": mix.Lab.LinearRGB().Hex()})
}
