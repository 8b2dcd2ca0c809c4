package grout

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"

	"gapshade/colormath"
)

// Nine neutrals of our own: Munsell values 8.5, 6 and 3.5 (ASTM D1535), each
// true grey and with a cool (hue 255°) and a warm (80°) cast of exactly
// CIEDE2000 4.0; and a near-white (N9) and a near-black (N2.5).
//
//go:embed palette.csv
var paletteCSV string

// Palette returns the eleven built-in shades, light to dark.
func Palette() []Shade {
	s, err := read(strings.NewReader(paletteCSV))
	if err != nil {
		panic("built-in palette: " + err.Error()) // a broken build, never a broken input
	}
	return s
}

// Choose turns what the person wrote after --shades into shades: a comma-
// separated list of built-in ids, or the name of a CSV file (id,L,a,b in CIELAB
// D50, cured; or id,hex).
func Choose(arg string) ([]Shade, error) {
	if strings.HasSuffix(strings.ToLower(arg), ".csv") {
		f, err := os.Open(arg)
		if err != nil {
			return nil, fmt.Errorf("shades file can't be opened: %w", err)
		}
		defer f.Close()
		s, err := read(f)
		if err != nil {
			return nil, fmt.Errorf("shades file %s: %w", arg, err)
		}
		return s, nil
	}
	return pick(arg)
}

func pick(list string) ([]Shade, error) {
	known, seen := Palette(), map[string]bool{}
	var out []Shade
	for id := range strings.SplitSeq(list, ",") {
		id = strings.TrimSpace(id)
		s, ok := find(known, id)
		if !ok {
			return nil, fmt.Errorf("no built-in shade is called %q; there are %s", id, names(known))
		}
		if !seen[id] {
			seen[id] = true
			out = append(out, s)
		}
	}
	return out, nil
}

func find(shades []Shade, id string) (Shade, bool) {
	for _, s := range shades {
		if s.ID == id {
			return s, true
		}
	}
	return Shade{}, false
}

func names(shades []Shade) string {
	var ids []string
	for _, s := range shades {
		ids = append(ids, s.ID)
	}
	return strings.Join(ids, ", ")
}

// MaxShades bounds one run; each shade is a full-size picture.
const MaxShades = 64

var idPattern = regexp.MustCompile(`^[a-z0-9-]{1,40}$`)

// read parses a shades CSV. Errors name the line.
func read(r io.Reader) ([]Shade, error) {
	in := csv.NewReader(r)
	in.TrimLeadingSpace = true
	in.Comment = '#'
	head, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("it is empty; the first line should be id,L,a,b or id,hex")
	}
	if err != nil {
		return nil, err
	}
	parse, err := columns(head)
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	var out []Shade
	for {
		rec, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		line, _ := in.FieldPos(0)
		s, err := parse(rec)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if seen[s.ID] {
			return nil, fmt.Errorf("line %d: the id %q stands twice", line, s.ID)
		}
		seen[s.ID] = true
		out = append(out, s)
	}
	if len(out) == 0 {
		return nil, errors.New("it holds no shades below its first line")
	}
	if len(out) > MaxShades {
		return nil, fmt.Errorf("it holds %d shades; at most %d fit in one run", len(out), MaxShades)
	}
	return out, nil
}

// columns chooses the reader for the header line.
func columns(head []string) (func([]string) (Shade, error), error) {
	var names []string
	for _, h := range head {
		names = append(names, strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
	}
	switch strings.Join(names, ",") {
	case "id,L,a,b", measuredHead:
		return fromLab, nil
	case "id,hex":
		return fromHex, nil
	}
	return nil, fmt.Errorf("its first line is %q; it should be id,L,a,b or id,hex", strings.Join(head, ","))
}

func fromLab(rec []string) (Shade, error) {
	var v [3]float64
	for i := range v {
		x, err := strconv.ParseFloat(strings.TrimSpace(rec[i+1]), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return Shade{}, fmt.Errorf("%q is not a number", rec[i+1])
		}
		v[i] = x
	}
	return Own(rec[0], colormath.Lab{L: v[0], A: v[1], B: v[2]})
}

// Own makes a shade of a colour that somebody typed, and refuses what no grout has.
func Own(id string, c colormath.Lab) (Shade, error) {
	if !(c.L >= 0 && c.L <= 100) {
		return Shade{}, fmt.Errorf("L is %g; it runs from 0 (black) to 100 (white)", c.L)
	}
	if !(math.Hypot(c.A, c.B) <= 150) {
		return Shade{}, fmt.Errorf("a %g and b %g lie far outside any pigment", c.A, c.B)
	}
	return New(id, c)
}

func fromHex(rec []string) (Shade, error) {
	c, err := colormath.ParseHex(strings.TrimSpace(rec[1]))
	if err != nil {
		return Shade{}, fmt.Errorf("%q is not a colour like #a1a09c", rec[1])
	}
	return New(rec[0], c.Lab())
}

// New makes a shade and derives its depth from L* and its cast from hue and
// chroma.
func New(id string, c colormath.Lab) (Shade, error) {
	id = strings.TrimSpace(id)
	if !idPattern.MatchString(id) {
		return Shade{}, fmt.Errorf("%q can't be an id; use a-z, 0-9 and -", id)
	}
	return Shade{ID: id, Depth: depth(c.L), Cast: cast(c), Lab: c}, nil
}

// Depth borders: halfway between the rows of the built-in palette (L* 85.3,
// 61.0, 35.6), rounded; ours.
func depth(l float64) string {
	switch {
	case l >= 72:
		return "light"
	case l >= 45:
		return "mid"
	}
	return "dark"
}

// trueChroma: below this chroma a grey passes for true; half of the built-in
// casts (C* 4.2); ours.
const trueChroma = 2.1

// cast is warm for hues from red-purple through yellow (330° to 120°), cool for
// green through blue to purple.
func cast(c colormath.Lab) string {
	if c.Chroma() < trueChroma {
		return "true"
	}
	if h := c.Hue(); h >= 330 || h < 120 {
		return "warm"
	}
	return "cool"
}
