package icc

import (
	"encoding/binary"
	"math"
)

// curve takes a code value 0…1 to linear light. A table, when present, wins
// over the parameters.
//
// Parameters in the order of ICC.1:2022 §10.18 ("parametricCurveType"):
// y = (a·x + b)^g + e for x ≥ d, else y = c·x + f.
type curve struct {
	table            []float64
	g, a, b, c, d, e float64
	f                float64
}

// gamma is the plain power curve y = x^g.
func gamma(g float64) curve { return curve{g: g, a: 1, d: math.Inf(-1)} }

// srgbCurve is the curve of IEC 61966-2-1:1999 as parameters of type 3.
func srgbCurve() curve {
	return curve{g: 2.4, a: 1 / 1.055, b: 0.055 / 1.055, c: 1 / 12.92, d: 0.04045}
}

// at gives linear light for one code value; x is clamped to 0…1, as the
// profile says nothing beyond.
func (c curve) at(x float64) float64 {
	x = min(max(x, 0), 1)
	if c.table != nil {
		return c.look(x)
	}
	if x < c.d {
		return c.c*x + c.f
	}
	// A base below zero has no real power; the curve stands at its foot there.
	return math.Pow(max(c.a*x+c.b, 0), c.g) + c.e
}

// look interpolates linearly between the entries, as ICC.1 §10.6 asks.
func (c curve) look(x float64) float64 {
	n := len(c.table) - 1
	p := x * float64(n)
	i := min(int(p), n-1)
	t := p - float64(i)
	return c.table[i]*(1-t) + c.table[i+1]*t
}

// readCurve reads a `curv` or `para` element.
func readCurve(b []byte) (curve, error) {
	if len(b) < 12 {
		return curve{}, broken("a tone curve is cut short")
	}
	switch string(b[:4]) {
	case "curv":
		return readCurv(b[8:])
	case "para":
		return readPara(b[8:])
	}
	return curve{}, broken("a tone curve of an unknown kind")
}

// readCurv reads ICC.1:2022 §10.6: a count, then no entry (linear), one entry
// (a power as u8Fixed8) or a table of 16-bit values.
func readCurv(b []byte) (curve, error) {
	n := binary.BigEndian.Uint32(b)
	b = b[4:]
	// Compared as counts of entries, so that no count can overflow.
	if uint64(n) > uint64(len(b)/2) {
		return curve{}, broken("a tone curve claims more entries than the profile holds")
	}
	switch n {
	case 0:
		return gamma(1), nil
	case 1:
		g := float64(binary.BigEndian.Uint16(b)) / 256
		if g == 0 {
			return curve{}, broken("a tone curve has the power zero")
		}
		return gamma(g), nil
	}
	t := make([]float64, n)
	for i := range t {
		t[i] = float64(binary.BigEndian.Uint16(b[2*i:])) / 65535
	}
	return curve{table: t}, nil
}

// paraCounts is the number of parameters of each function type,
// ICC.1:2022 table 68.
var paraCounts = [5]int{1, 3, 4, 5, 7}

// readPara reads ICC.1:2022 §10.18. Types 1 and 2 are written with the break
// at x = −b/a; types 3 and 4 name it.
func readPara(b []byte) (curve, error) {
	kind := int(binary.BigEndian.Uint16(b))
	b = b[4:]
	if kind >= len(paraCounts) {
		return curve{}, broken("a parametric tone curve of an unknown type")
	}
	if len(b) < 4*paraCounts[kind] {
		return curve{}, broken("a parametric tone curve is cut short")
	}
	var p [7]float64
	for i := range paraCounts[kind] {
		p[i] = s15Fixed16(b[4*i:])
	}
	return parametric(kind, p)
}

func parametric(kind int, p [7]float64) (curve, error) {
	if p[0] <= 0 || (kind == 1 || kind == 2) && p[1] == 0 {
		return curve{}, broken("a parametric tone curve has senseless numbers")
	}
	switch kind {
	case 0:
		return gamma(p[0]), nil
	case 1:
		return curve{g: p[0], a: p[1], b: p[2], d: -p[2] / p[1]}, nil
	case 2:
		return curve{g: p[0], a: p[1], b: p[2], d: -p[2] / p[1], e: p[3], f: p[3]}, nil
	case 3:
		return curve{g: p[0], a: p[1], b: p[2], c: p[3], d: p[4]}, nil
	}
	return curve{g: p[0], a: p[1], b: p[2], c: p[3], d: p[4], e: p[5], f: p[6]}, nil
}

// s15Fixed16 reads a signed fixed-point number, ICC.1:2022 §4.6.
func s15Fixed16(b []byte) float64 {
	return float64(int32(binary.BigEndian.Uint32(b))) / 65536
}
