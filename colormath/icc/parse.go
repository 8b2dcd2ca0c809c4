package icc

import (
	"encoding/binary"
	"strings"
	"unicode"
	"unicode/utf16"

	"gapshade/colormath"
)

// maxTags bounds the tag table; real profiles hold about twenty.
const maxTags = 200

// tags finds the elements of a profile by their signature.
type tags map[string][]byte

// Parse reads an ICC profile. It gives a *Profile, or an *Error that says why
// the profile cannot be used; the caller then takes sRGB (nil). Layout:
// ICC.1:2022 §7 (128 bytes of header, a tag table, the elements).
func Parse(b []byte) (*Profile, error) {
	if len(b) < 132 || string(b[36:40]) != "acsp" {
		return nil, broken("no profile header")
	}
	t, err := readTags(b)
	if err != nil {
		return nil, err
	}
	name := describe(t["desc"])
	switch string(b[16:20]) {
	case "RGB ":
		return parseRGB(b, t, name)
	case "GRAY":
		return parseGrey(t, name)
	case "CMYK":
		return nil, &Error{Space, "a CMYK colour profile"}
	}
	return nil, &Error{Space, "a colour profile for another space than RGB or grey"}
}

func readTags(b []byte) (tags, error) {
	n := binary.BigEndian.Uint32(b[128:])
	if n > maxTags || 132+12*int(n) > len(b) {
		return nil, broken("its table of contents is cut short")
	}
	t := make(tags, n)
	for i := range int(n) {
		e := b[132+12*i:]
		off, size := uint64(binary.BigEndian.Uint32(e[4:])), uint64(binary.BigEndian.Uint32(e[8:]))
		// An element outside the file counts as missing: what needs it will say so.
		if off+size <= uint64(len(b)) {
			t[string(e[:4])] = b[off : off+size]
		}
	}
	return t, nil
}

// parseRGB reads a matrix/TRC profile: XYZ(D50) = [rXYZ gXYZ bXYZ]·TRC(rgb),
// ICC.1:2022 §F.3. Where a profile has both tables and a matrix, the matrix is
// taken: the tables then only add a rendering intent that is not ours.
func parseRGB(b []byte, t tags, name string) (*Profile, error) {
	if t["rXYZ"] == nil || t["rTRC"] == nil {
		if t["A2B0"] != nil || t["A2B1"] != nil || t["D2B0"] != nil {
			return nil, &Error{Table, "a colour profile made of look-up tables"}
		}
		return nil, broken("it holds neither primaries nor tables")
	}
	if string(b[20:24]) != "XYZ " {
		return nil, broken("its primaries are not in XYZ")
	}
	p := &Profile{Name: name}
	for c, key := range []string{"r", "g", "b"} {
		xyz, err := readXYZ(t[key+"XYZ"])
		if err != nil {
			return nil, err
		}
		if p.curves[c], err = readCurve(t[key+"TRC"]); err != nil {
			return nil, err
		}
		primary := xyz.Adapt(colormath.D50ICC, colormath.D65).LinearRGB()
		p.matrix[0][c], p.matrix[1][c], p.matrix[2][c] = primary.R, primary.G, primary.B
	}
	return p.settle()
}

// parseGrey reads a monochrome profile: one curve, a neutral axis,
// ICC.1:2022 §F.2.
func parseGrey(t tags, name string) (*Profile, error) {
	c, err := readCurve(t["kTRC"])
	if err != nil {
		return nil, err
	}
	p := &Profile{Name: name, Grey: true, curves: [3]curve{c, c, c}, matrix: identity}
	return p.settle()
}

// readXYZ reads one colour under the D50 of the profile connection space.
func readXYZ(b []byte) (colormath.XYZ, error) {
	if len(b) < 20 || string(b[:4]) != "XYZ " {
		return colormath.XYZ{}, broken("a primary is missing or cut short")
	}
	return colormath.XYZ{X: s15Fixed16(b[8:]), Y: s15Fixed16(b[12:]), Z: s15Fixed16(b[16:])}, nil
}

// describe reads the name: `mluc` (version 4, UTF-16) or `desc` (version 2,
// ASCII), made safe to print.
func describe(b []byte) string {
	s := ""
	switch {
	case len(b) >= 28 && string(b[:4]) == "mluc":
		n, off := uint64(binary.BigEndian.Uint32(b[20:])), uint64(binary.BigEndian.Uint32(b[24:]))
		if off+n <= uint64(len(b)) {
			s = utf16be(b[off : off+n])
		}
	case len(b) >= 12 && string(b[:4]) == "desc":
		n := uint64(binary.BigEndian.Uint32(b[8:]))
		if 12+n <= uint64(len(b)) {
			s = string(b[12 : 12+n])
		}
	}
	if s = tidy(s); s == "" {
		return "unnamed profile"
	}
	return s
}

func utf16be(b []byte) string {
	u := make([]uint16, len(b)/2)
	for i := range u {
		u[i] = binary.BigEndian.Uint16(b[2*i:])
	}
	return string(utf16.Decode(u))
}

// tidy keeps printable characters and at most 60 of them: the name goes into
// reports and on terminals.
func tidy(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, s)
	if r := []rune(s); len(r) > 60 {
		s = string(r[:60])
	}
	return strings.TrimSpace(s)
}
