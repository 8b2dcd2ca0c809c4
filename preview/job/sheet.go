package job

import (
	"errors"
	"strings"
	"time"
	"unicode"

	"gapshade/preview/quantity"
)

// Paper is a sheet of paper for the PDF; the HTML page prints on either.
type Paper string

// The papers; Auto is Letter for US units, else A4.
const (
	Auto   Paper = ""
	A4     Paper = "A4"
	Letter Paper = "Letter"
)

// Sheet is one job sheet.
type Sheet struct {
	Title string // heading; "" = none
	Grout string // the chosen shade in plain words; "" = not chosen yet
	Plan  quantity.Plan
	Start time.Time // wall clock of the first water; the zero time = not known
	Paper Paper
	Panel *Picture // where gaps are hard to fill, drawn on the panel; nil = none
}

// Picture is a PNG without transparency, and what it shows.
type Picture struct {
	PNG     []byte
	W, H    int // px
	Caption string
}

// clean makes a person's words safe to print: one line, no control or invisible
// formatting characters, which could reverse the text after them, and no longer
// than a heading should be.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r == unicode.ReplacementChar:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	runes := []rune(strings.Join(strings.Fields(s), " "))
	if len(runes) > 120 {
		runes = append(runes[:119], '…')
	}
	return string(runes)
}

// check refuses a sheet without a plan; quantity.Make gives one.
func (s *Sheet) check() error {
	if len(s.Plan.Schedule.Round) == 0 {
		return errors.New("the job sheet has no plan; make one from the sizes first")
	}
	return nil
}

// paper is the one asked for, or the one of the country the units belong to.
func (s *Sheet) paper() Paper {
	switch {
	case s.Paper != Auto:
		return s.Paper
	case s.Plan.In.Units == quantity.US:
		return Letter
	}
	return A4
}
