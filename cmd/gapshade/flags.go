package main

import (
	"github.com/spf13/pflag"

	"gapshade/preview/said"
)

// words are the preview flags as typed.
type words struct {
	said.Words
	out, marks, second string
	json, quiet, force bool
}

// valueWords are what stands after a flag in the help.
var valueWords = map[string]string{
	"size": "WxH", "bed": "COLOUR", "second": "PHOTO", "second-bed": "COLOUR", "corners": `"X,Y X,Y X,Y X,Y"`, "gap": "WIDTH", "shoulder": "WIDTH", "marks": "FILE.png",
	"grey": "X,Y,R", "shades": "LIST|FILE.csv", "aim": "AIM", "distance": "LIST", "title": "TEXT", "out": "FOLDER", "state": "WORD", "recess": "DEPTH", "grain-seed": "N", "threads": "N", "port": "N",
	"tile": "WxH", "joint": "WIDTH", "thickness": "DEPTH", "material": "WORD", "place": "WORD", "kind": "WORD", "edge": "HEIGHT", "allowance": "SHARE",
	"variation": "LENGTH", "temperature": "DEGREES", "pot-life": "TIME", "clock": "WORD", "start": "WHEN", "units": "WORD",
	// of the shades commands
	"parts": "A:B", "target-lightness": "L", "sample": "A:B=L", "from": "FILE.csv", "id": "ID",
	"reference": "COLOUR", "card": "X,Y,R", "chips": `"X,Y,W,H X,Y,W,H"`, "ids": "LIST", "csv": "FILE.csv",
}

// register defines every flag once, in the order of the help text.
func (w *words) register(f *pflag.FlagSet) {
	f.SortFlags = false
	f.StringVar(&w.Size, "size", "", "panel width x height, 380x300mm or \"15x11 3/4in\"; for a round or free panel, of the upright box round it")
	f.StringVar(&w.Bed, "bed", "auto", "what shows in the gaps: auto, white, grey, black or #rrggbb")
	f.StringVar(&w.second, "second", "", "the same layout on another paper, tiles unmoved, camera in the same place: tells tile from bed far better than one photo can")
	f.StringVar(&w.SecondBed, "second-bed", "auto", "what shows in the gaps of the second photo, in the same words")
	f.StringVar(&w.Corners, "corners", "", "panel corners in px of the upright photo: top-left, top-right, bottom-right, bottom-left; left out, the panel is found, whatever its outline")
	f.StringVar(&w.Grey, "grey", "", "a neutral card in the photo: centre and radius of a disc on it, in px of the upright photo; the picture is balanced so that the card is grey")
	f.BoolVar(&w.Straighten, "straighten", false, "show the panel as seen from straight above, in its true proportions; needs four corners, found or given")
	f.StringVar(&w.Gap, "gap", "", "joint width you expect, such as 2mm; helps on hard photos")
	f.StringVar(&w.marks, "marks", "", "a PNG in the shape of the upright photo with plain strokes: red on gaps and blue on tiles found wrong, green on what is off the panel; nothing else counts")
	f.StringVar(&w.Shoulder, "shoulder", "", "how far the grout reaches beyond the outermost tiles, such as 2mm, where the panel is found; left out, half the middle gap, with --size at least 1mm and at most 5mm")
	f.StringVar(&w.Shades, "shades", "", "ids to try, separated by commas, or a CSV file of your own (id,L,a,b in CIELAB D50, cured; or id,hex); left out, the eleven built in")
	f.StringVar(&w.Aim, "aim", "balance", "what you want: outline (every piece stands out), balance (the joint is seen, the picture leads) or blend (the joint disappears)")
	f.StringVar(&w.Distance, "distance", "", "where the panel will be seen from, separated by commas; needs --size (left out, 0.5m,2m,5m with a size)")
	f.StringVar(&w.Title, "title", "", "heading of the sheet, the report and the job sheet")
	f.BoolVar(&w.Strict, "strict", false, "stop when the gaps are only likely, not sure")
	f.StringVar(&w.out, "out", "", "output folder; left out, <photo name>-grout beside the photo")
	f.BoolVar(&w.force, "force", false, "replace the files of an earlier run")
	f.BoolVar(&w.json, "json", false, "print report.json on stdout and nothing else")
	f.BoolVar(&w.quiet, "quiet", false, "print nothing but errors")
	f.IntVar(&w.Threads, "threads", 0, "processors to use; 0 means all; the result doesn't depend on it")
	f.StringVar(&w.State, "state", "cured", "how the joints are shown: cured, damp (as on the day) or enhanced (under a sealer that wets the look)")
	f.StringVar(&w.Recess, "recess", "", "how far the cured joint lies below the faces; left out, 0.8mm, or a share of the gap without --size")
	f.BoolVar(&w.Flush, "flush", false, "draw the joint level with the faces, without shadows in it")
	f.BoolVar(&w.Plain, "plain", false, "draw the joint without the fine grain of its sand")
	f.Uint64Var(&w.GrainSeed, "grain-seed", 0, "another pattern of the same grain")
	f.BoolVar(&w.Clear, "clear", false, "tiles let light pass, as glass does: show joint and adhesive through them (a guess; a second photo measures it)")
	head(f, "state", "how the joint is shown:")
	registerJob(f, &w.Job)
	head(f, "thickness", "the rest of the job, for job.html and job.pdf (with --size):")
}
