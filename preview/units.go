package preview

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gapshade/preview/light"
	"gapshade/segment"
)

// Millimetres per unit; the inch is exact by definition (international yard and
// pound agreement, 1959).
var unitMm = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "inch": 25.4, "\"": 25.4, "ft": 304.8}

const unitPattern = `(mm|cm|m|inch|in|ft|")`

var (
	lengthPattern = regexp.MustCompile(`^([0-9][0-9.,/ ]*?|[.][0-9]+)\s*` + unitPattern + `$`)
	sizePattern   = regexp.MustCompile(`^(.+?)\s*` + unitPattern + `?\s*[x×]\s*(.+?)\s*` + unitPattern + `$`)
)

// ParseLength reads a length with its unit: 2mm, 1.5 cm, 1/16in, 11 3/4in. A
// comma may stand for the point. The result is in mm and above zero.
func ParseLength(s string) (float64, error) {
	m := lengthPattern.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return 0, fmt.Errorf("%q is not a length with a unit, such as 2mm or 1/16in", s)
	}
	v, err := parseNumber(m[1])
	if err != nil {
		return 0, fmt.Errorf("%q: %w", s, err)
	}
	mm := v * unitMm[m[2]]
	if mm <= 0 || mm > 1e6 {
		return 0, fmt.Errorf("%q is not a length that a panel can have", s)
	}
	return mm, nil
}

// ParseDistances reads lengths separated by commas, 0.5m,2m,5m or 6ft,20ft, in
// metres. Equal ones count once.
func ParseDistances(s string) ([]float64, error) {
	var out []float64
	for part := range strings.SplitSeq(s, ",") {
		mm, err := ParseLength(part)
		if err != nil {
			return nil, fmt.Errorf("%q is not a distance with a unit, such as 2m or 6ft", strings.TrimSpace(part))
		}
		if m := mm / 1000; !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	return out, nil
}

// ParseSize reads width x height: 380x300mm, 38cm x 300mm, 15x11 3/4in. Both
// in mm.
func ParseSize(s string) (w, h float64, err error) {
	m := sizePattern.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return 0, 0, fmt.Errorf("%q is not a size, such as 380x300mm or 15x11 3/4in", s)
	}
	unit := m[2]
	if unit == "" {
		unit = m[4]
	}
	if w, err = ParseLength(m[1] + unit); err != nil {
		return 0, 0, err
	}
	h, err = ParseLength(m[3] + m[4])
	return w, h, err
}

// parseNumber reads 12, 12.5, 12,5, 3/4 and 11 3/4.
func parseNumber(s string) (float64, error) {
	sum := 0.0
	for i, part := range strings.Fields(strings.ReplaceAll(s, ",", ".")) {
		num, den, fraction := strings.Cut(part, "/")
		v, err := strconv.ParseFloat(num, 64)
		if err != nil {
			return 0, fmt.Errorf("%q is not a number", part)
		}
		if fraction {
			d, err := strconv.ParseFloat(den, 64)
			if err != nil || d == 0 {
				return 0, fmt.Errorf("%q is not a fraction", part)
			}
			v /= d
		} else if i > 0 {
			return 0, fmt.Errorf("%q: only a fraction can follow a whole number", s)
		}
		sum += v
	}
	return sum, nil
}

// ParseCorners reads four points "x,y x,y x,y x,y": top-left, top-right,
// bottom-right, bottom-left. Settings.Validate checks their order.
func ParseCorners(s string) (*segment.Quad, error) {
	fields := strings.Fields(s)
	var q segment.Quad
	if len(fields) != 4 {
		return nil, fmt.Errorf("%d points given; four are needed: x,y x,y x,y x,y", len(fields))
	}
	for i, f := range fields {
		x, y, ok := strings.Cut(f, ",")
		var err1, err2 error
		q[i].X, err1 = strconv.ParseFloat(x, 64)
		q[i].Y, err2 = strconv.ParseFloat(y, 64)
		if !ok || err1 != nil || err2 != nil {
			return nil, fmt.Errorf("%q is not a point; write x,y in pixels with a decimal point", f)
		}
	}
	return &q, nil
}

// ParseCard reads a neutral card in the photo as "x,y,r": centre and radius of a
// disc on it, px. Whether it lies on the photo is seen when it is read.
func ParseCard(s string) (*light.Card, error) {
	fields := strings.Split(s, ",")
	var v [3]float64
	if len(fields) != len(v) {
		return nil, fmt.Errorf("%q is not a disc; write x,y,r in pixels with decimal points", s)
	}
	for i, f := range fields {
		var err error
		if v[i], err = strconv.ParseFloat(strings.TrimSpace(f), 64); err != nil || math.IsNaN(v[i]) {
			return nil, fmt.Errorf("%q is not a number of pixels", f)
		}
	}
	if v[2] <= 0 {
		return nil, fmt.Errorf("the radius %g is not above zero", v[2])
	}
	return &light.Card{X: v[0], Y: v[1], R: v[2]}, nil
}
