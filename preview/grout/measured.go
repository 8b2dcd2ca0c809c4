package grout

import (
	"encoding/csv"
	"io"
	"strconv"

	"gapshade/colormath"
)

// Measured is a shade read from a photo, and how far each of L*, a* and b* may be
// off.
type Measured struct {
	Shade Shade
	Doubt colormath.Lab
}

// measuredHead is the first line of a file of such shades; Choose reads it, and
// leaves the doubts aside.
const measuredHead = "id,L,a,b,L_doubt,a_doubt,b_doubt"

// WriteShades writes a shades file that Choose reads back to the last digit
// (RFC 4180).
func WriteShades(w io.Writer, shades []Shade) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{{"id", "L", "a", "b"}}
	for _, s := range shades {
		row := []string{s.ID}
		for _, v := range []float64{s.Lab.L, s.Lab.A, s.Lab.B} {
			row = append(row, strconv.FormatFloat(v, 'g', -1, 64))
		}
		rows = append(rows, row)
	}
	return out.WriteAll(rows)
}

// WriteMeasured writes a shades file (RFC 4180). Two decimals: a photo knows no
// more.
func WriteMeasured(w io.Writer, shades []Measured) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write([]string{"id", "L", "a", "b", "L_doubt", "a_doubt", "b_doubt"}); err != nil {
		return err
	}
	for _, m := range shades {
		c, d := m.Shade.Lab, m.Doubt
		row := []string{m.Shade.ID}
		for _, v := range []float64{c.L, c.A, c.B, d.L, d.A, d.B} {
			text := strconv.FormatFloat(v, 'f', 2, 64)
			if text == "-0.00" {
				text = "0.00"
			}
			row = append(row, text)
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
