package main

import (
	"github.com/spf13/pflag"

	"gapshade/preview"
	"gapshade/preview/grout"
)

// words are the preview flags as typed; settings turns them into values.
type words struct {
	jobWords
	out, size, corners, bed, gap, shoulder, marks, grey, shades, aim, distance, title string
	second, secondBed                                                                 string
	straighten, strict, json, quiet, force                                            bool
	threads                                                                           int
}

// valueWords are what stands after a flag in the help.
var valueWords = map[string]string{
	"size": "WxH", "bed": "COLOUR", "second": "PHOTO", "second-bed": "COLOUR", "corners": `"X,Y X,Y X,Y X,Y"`, "gap": "WIDTH", "shoulder": "WIDTH", "marks": "FILE.png",
	"grey": "X,Y,R", "shades": "LIST|FILE.csv", "aim": "AIM", "distance": "LIST", "title": "TEXT", "out": "FOLDER", "threads": "N",
	"tile": "WxH", "joint": "WIDTH", "thickness": "DEPTH", "material": "WORD", "place": "WORD", "kind": "WORD", "edge": "HEIGHT", "allowance": "SHARE",
	"variation": "LENGTH", "temperature": "DEGREES", "pot-life": "TIME", "clock": "WORD", "start": "WHEN", "units": "WORD",
	// of the shades commands
	"parts": "A:B", "target-lightness": "L", "sample": "A:B=L", "from": "FILE.csv", "id": "ID",
	"reference": "COLOUR", "card": "X,Y,R", "chips": `"X,Y,W,H X,Y,W,H"`, "ids": "LIST", "csv": "FILE.csv",
}

// register defines every flag once, in the order of the help text.
func (w *words) register(f *pflag.FlagSet) {
	f.SortFlags = false
	f.StringVar(&w.size, "size", "", "panel width x height, such as 380x300mm or \"15x11 3/4in\"")
	f.StringVar(&w.bed, "bed", "auto", "what shows in the gaps: auto, white, grey, black or #rrggbb")
	f.StringVar(&w.second, "second", "", "the same layout on another paper, tiles unmoved, camera in the same place: tells tile from bed far better than one photo can")
	f.StringVar(&w.secondBed, "second-bed", "auto", "what shows in the gaps of the second photo, in the same words")
	f.StringVar(&w.corners, "corners", "", "panel corners in px of the upright photo: top-left, top-right, bottom-right, bottom-left; left out, the panel is found")
	f.StringVar(&w.grey, "grey", "", "a neutral card in the photo: centre and radius of a disc on it, in px of the upright photo; the picture is balanced so that the card is grey")
	f.BoolVar(&w.straighten, "straighten", false, "show the panel as seen from straight above, in its true proportions")
	f.StringVar(&w.gap, "gap", "", "joint width you expect, such as 2mm; helps on hard photos")
	f.StringVar(&w.marks, "marks", "", "a PNG in the shape of the upright photo with plain red strokes on gaps and plain blue ones on tiles, where they were found wrong; all else in it is ignored")
	f.StringVar(&w.shoulder, "shoulder", "", "how far the grout reaches beyond the outermost tiles, such as 2mm, where the panel is found; left out, 1.5mm, or half a gap without --size")
	f.StringVar(&w.shades, "shades", "", "ids to try, separated by commas, or a CSV file of your own (id,L,a,b in CIELAB D50, cured; or id,hex); left out, the eleven built in")
	f.StringVar(&w.aim, "aim", "balance", "what you want: outline (every piece stands out), balance (the joint is seen, the picture leads) or blend (the joint disappears)")
	f.StringVar(&w.distance, "distance", "", "where the panel will be seen from, separated by commas; needs --size (left out, 0.5m,2m,5m with a size)")
	f.StringVar(&w.title, "title", "", "heading of the sheet, the report and the job sheet")
	f.BoolVar(&w.strict, "strict", false, "stop when the gaps are only likely, not sure")
	f.StringVar(&w.out, "out", "", "output folder; left out, <photo name>-grout beside the photo")
	f.BoolVar(&w.force, "force", false, "replace the files of an earlier run")
	f.BoolVar(&w.json, "json", false, "print report.json on stdout and nothing else")
	f.BoolVar(&w.quiet, "quiet", false, "print nothing but errors")
	f.IntVar(&w.threads, "threads", 0, "processors to use; 0 means all; the result doesn't depend on it")
	w.jobWords.register(f)
	head(f, "thickness", "the rest of the job, for job.html and job.pdf (with --size):")
}

// settings reads the words. Errors are *preview.Fault with the usage code.
func (w *words) settings() (s preview.Settings, err error) {
	s = preview.Default()
	s.Aim, s.Straighten, s.Strict, s.Title, s.Threads = preview.Aim(w.aim), w.straighten, w.strict, w.title, w.threads
	if w.threads < 0 || w.threads > 256 {
		return s, argFault("--threads %d is out of range", "use 0 for all processors, or 1 to 256", w.threads)
	}
	if w.size != "" {
		if s.WidthMm, s.HeightMm, err = preview.ParseSize(w.size); err != nil {
			return s, argFault("--size: %v", "write width x height with a unit, such as --size 380x300mm", err)
		}
	}
	if w.distance != "" {
		if s.DistancesM, err = preview.ParseDistances(w.distance); err != nil {
			return s, argFault("--distance: %v", "such as --distance 0.5m,2m,5m", err)
		}
		if w.size == "" {
			return s, argFault("--distance needs to know how large the panel is", "add --size, such as --size 380x300mm")
		}
	}
	if w.corners != "" {
		if s.Corners, err = preview.ParseCorners(w.corners); err != nil {
			return s, argFault("--corners: %v", `such as --corners "40,30 980,35 975,720 42,716"`, err)
		}
	}
	if s.Bed, err = preview.ParseBed(w.bed); err != nil {
		return s, err
	}
	if s.SecondBed, err = preview.ParseBed(w.secondBed); err != nil {
		return s, argFault("--second-bed %q is not a bed", "use auto, white, grey, black or a colour like #c8b090", w.secondBed)
	}
	if w.grey != "" {
		if s.Grey, err = preview.ParseCard(w.grey); err != nil {
			return s, argFault("--grey: %v", "such as --grey 200,150,40", err)
		}
	}
	if w.gap != "" {
		if s.GapMm, err = preview.ParseLength(w.gap); err != nil {
			return s, argFault("--gap: %v", "such as --gap 2mm", err)
		}
	}
	if w.shoulder != "" {
		if s.ShoulderMm, err = preview.ParseLength(w.shoulder); err != nil {
			return s, argFault("--shoulder: %v", "such as --shoulder 2mm", err)
		}
	}
	if err := w.apply(&s.Job, &s.Start); err != nil {
		return s, err
	}
	if w.shades != "" {
		if s.Shades, err = grout.Choose(w.shades); err != nil {
			return s, argFault("--shades: %v", "gapshade shades lists the built-in ones", err)
		}
	}
	return s, nil
}
