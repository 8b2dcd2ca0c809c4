package page

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/said"
	"gapshade/segment"
)

// settings are what a person says on the page: the words of the command's flags,
// with corners and shades by value. State and the sizes of a tile are kept for the
// page; no run takes the latter.
type settings struct {
	Corners    *corners    `json:"corners"`
	Size       string      `json:"size"`
	Bed        string      `json:"bed"`
	SecondBed  string      `json:"second_bed"`
	Gap        string      `json:"gap"`
	Grey       string      `json:"grey"`
	Shoulder   string      `json:"shoulder"`
	Aim        string      `json:"aim"`
	Shades     []shade     `json:"shades"`
	Distances  string      `json:"distances"`
	State      string      `json:"state"`
	Recess     string      `json:"recess"`
	Flush      bool        `json:"flush"`
	Plain      bool        `json:"plain"`
	Clear      bool        `json:"clear"`
	GrainSeed  uint64      `json:"grain_seed"`
	Title      string      `json:"title"`
	Straighten bool        `json:"straighten"`
	Job        jobSettings `json:"job"`
}

// shade is a candidate by value.
type shade struct {
	ID  string `json:"id"`
	Lab lab    `json:"lab"`
}

// Places and colours: lists of just so many numbers.
type (
	point   [2]float64
	corners [4]point
	lab     [3]float64
)

// UnmarshalJSON wants two numbers.
func (p *point) UnmarshalJSON(b []byte) error { return exactly(b, p[:]) }

// UnmarshalJSON wants four points.
func (c *corners) UnmarshalJSON(b []byte) error { return exactly(b, c[:]) }

// UnmarshalJSON wants three numbers.
func (l *lab) UnmarshalJSON(b []byte) error { return exactly(b, l[:]) }

// exactly reads a list of as many values as there are places. (The library drops
// what is too much and leaves 0 for what is missing.)
func exactly[T any](b []byte, to []T) error {
	var got []T
	if err := json.Unmarshal(b, &got); err != nil {
		return err
	}
	if len(got) != len(to) {
		return fmt.Errorf("a list of %d, not of %d", len(got), len(to))
	}
	copy(to, got)
	return nil
}

// jobSettings are the words about the rest of the job.
type jobSettings struct {
	Tile        string `json:"tile"`
	Joint       string `json:"joint"`
	Thickness   string `json:"thickness"`
	Material    string `json:"material"`
	Place       string `json:"place"`
	Kind        string `json:"kind"`
	Edge        string `json:"edge"`
	Allowance   string `json:"allowance"`
	Variation   string `json:"variation"`
	Temperature string `json:"temperature"`
	PotLife     string `json:"pot_life"`
	Clock       string `json:"clock"`
	Start       string `json:"start"`
	Units       string `json:"units"`
	Grouted     bool   `json:"grouted"`
}

// plainSettings are those of a run with nothing said.
func plainSettings() settings {
	s := settings{Bed: "auto", SecondBed: "auto", Aim: string(preview.Balance), Distances: "0.5m,2m,5m", State: "cured",
		Job: jobSettings{Kind: "auto", Units: "metric"}}
	for _, p := range grout.Palette() {
		s.Shades = append(s.Shades, shade{p.ID, lab{p.Lab.L, p.Lab.A, p.Lab.B}})
	}
	return s
}

// longestWord bounds every word that is kept.
const longestWord = 200

// words gives them as the command takes them. Errors are *preview.Fault.
func (s *settings) words() (w said.Words, err error) {
	j := &s.Job
	w = said.Words{Size: s.Size, Bed: s.Bed, SecondBed: s.SecondBed, Grey: s.Grey, Gap: s.Gap, Shoulder: s.Shoulder, Aim: s.Aim, Title: s.Title, State: s.State, Recess: s.Recess,
		Flush: s.Flush, Plain: s.Plain, Clear: s.Clear, GrainSeed: s.GrainSeed,
		Straighten: s.Straighten, Job: said.Job{Thickness: j.Thickness, Edge: j.Edge, Kind: j.Kind, Material: j.Material, Place: j.Place,
			Allowance: j.Allowance, Temperature: j.Temperature, Start: j.Start, Clock: j.Clock, PotLife: j.PotLife, Variation: j.Variation, Units: j.Units, Grouted: j.Grouted}}
	if s.Size != "" {
		w.Distance = s.Distances
	}
	if s.Corners != nil {
		w.Corners = cornersWord(*s.Corners)
	}
	if w.Own, err = s.own(); err != nil {
		return w, err
	}
	return w, s.check()
}

// check looks at what the command does not take.
func (s *settings) check() error {
	j := &s.Job
	for _, f := range []struct{ name, word string }{
		{"size", s.Size}, {"bed", s.Bed}, {"second-bed", s.SecondBed}, {"gap", s.Gap}, {"grey", s.Grey}, {"shoulder", s.Shoulder}, {"aim", s.Aim},
		{"distance", s.Distances}, {"state", s.State}, {"recess", s.Recess}, {"title", s.Title}, {"tile", j.Tile}, {"joint", j.Joint}, {"thickness", j.Thickness}, {"material", j.Material},
		{"place", j.Place}, {"kind", j.Kind}, {"edge", j.Edge}, {"allowance", j.Allowance}, {"variation", j.Variation}, {"temperature", j.Temperature},
		{"pot-life", j.PotLife}, {"clock", j.Clock}, {"start", j.Start}, {"units", j.Units},
	} {
		if len(f.word) > longestWord {
			return misread(fmt.Sprintf("--%s is longer than %d letters", f.name, longestWord), "say it shorter")
		}
		if strings.ContainsFunc(f.word, func(r rune) bool { return r < ' ' || r == 0x7f }) {
			return misread(fmt.Sprintf("--%s holds a control character", f.name), "type it on one line")
		}
	}
	return nil
}

// own are the shades by value; none is the built-in ones.
func (s *settings) own() (out []grout.Shade, err error) {
	next := "gapshade shades lists the built-in ones"
	if len(s.Shades) == 0 {
		return grout.Palette(), nil
	}
	if len(s.Shades) > grout.MaxShades {
		return nil, misread(fmt.Sprintf("--shades: %d shades; at most %d fit in one run", len(s.Shades), grout.MaxShades), next)
	}
	for _, sh := range s.Shades {
		g, err := grout.Own(sh.ID, colormath.Lab{L: sh.Lab[0], A: sh.Lab[1], B: sh.Lab[2]})
		if err != nil {
			return nil, misread("--shades: "+err.Error(), next)
		}
		if slices.ContainsFunc(out, func(o grout.Shade) bool { return o.ID == g.ID }) {
			return nil, misread(fmt.Sprintf("--shades: the id %q stands twice", g.ID), "name each shade once")
		}
		out = append(out, g)
	}
	return out, nil
}

func cornersWord(c corners) string {
	var words []string
	for _, p := range c {
		words = append(words, strconv.FormatFloat(p[0], 'g', -1, 64)+","+strconv.FormatFloat(p[1], 'g', -1, 64))
	}
	return strings.Join(words, " ")
}

// full gives the settings of the command, for the photo as it is, and holds them
// against it. Errors are *preview.Fault.
func (s *settings) full(of photoFacts) (preview.Settings, error) {
	w, err := s.words()
	if err != nil {
		return preview.Settings{}, err
	}
	out, err := w.Settings()
	if err != nil {
		return out, err
	}
	check := out
	check.SecondBed = preview.Bed{} // asked for only with a second photo, whose bytes are not at hand
	return out, check.Validate(of.photo())
}

// search are the settings that gaps are found by: a change of any needs a new
// search.
func (s *settings) search() any {
	said := corners{}
	if s.Corners != nil {
		said = *s.Corners
	}
	return struct {
		corners                                   corners
		found                                     bool
		size, bed, secondBed, gap, grey, shoulder string
	}{said, s.Corners == nil, s.Size, cmp.Or(s.Bed, "auto"), cmp.Or(s.SecondBed, "auto"), s.Gap, s.Grey, s.Shoulder}
}

// scale is the way from px of the photo to px of the working picture, in which
// every pixel is a square of the photo's, factor px wide.
type scale struct{ factor float64 }

func scaleOf(f photoFacts) scale {
	return scale{float64(f.Width) / float64(workingSize(f.Width, f.Height)[0])}
}

func (k scale) down(x, y float64) (float64, float64) {
	return (x+.5)/k.factor - .5, (y+.5)/k.factor - .5
}

func (k scale) up(x, y float64) (float64, float64) {
	return (x+.5)*k.factor - .5, (y+.5)*k.factor - .5
}

// apply takes settings of the whole photo to the working picture.
func (k scale) apply(s *preview.Settings) {
	if s.Corners != nil {
		var q segment.Quad
		for i, c := range s.Corners {
			q[i].X, q[i].Y = k.down(c.X, c.Y)
		}
		s.Corners = &q
	}
	if s.Grey != nil {
		c := *s.Grey
		c.X, c.Y = k.down(c.X, c.Y)
		c.R /= k.factor
		s.Grey = &c
	}
}

// stroke takes a stroke to the working picture.
func (k scale) stroke(s stroke) segment.Stroke {
	out := segment.Stroke{Shows: shows[s.Mark]}
	for _, p := range s.Points {
		var d segment.Dab
		d.X, d.Y = k.down(p[0], p[1])
		d.R = s.Radius / k.factor
		out.Path = append(out.Path, d)
	}
	return out
}
