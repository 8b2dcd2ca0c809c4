package icc

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every declined profile says why, by kind; none is half used.
func TestDeclined(t *testing.T) {
	whole := p3v4()
	with := func(change func(b []byte)) []byte {
		b := append([]byte(nil), whole...)
		change(b)
		return b
	}
	lut := build(2, "scnr", "RGB ", element{"A2B0", make([]byte, 64)})
	for _, c := range []struct {
		name string
		b    []byte
		want Reason
	}{
		{"nothing", nil, Broken},
		{"no signature", make([]byte, 200), Broken},
		{"tables only", lut, Table},
		{"printing inks", build(2, "prtr", "CMYK", element{"A2B0", make([]byte, 64)}), Space},
		{"another space", build(2, "spac", "Lab "), Space},
		{"empty", build(2, "mntr", "RGB "), Broken},
		{"primaries in Lab", with(func(b []byte) { copy(b[20:], "Lab ") }), Broken},
		{"tag count 2³²−1", with(func(b []byte) { binary.BigEndian.PutUint32(b[128:], 1<<32-1) }), Broken},
		{"tag count past the end", whole[:140], Broken},
		{"element outside", with(func(b []byte) { binary.BigEndian.PutUint32(b[132+4:], 1<<31) }), Broken},
		{"element of size 2³²−1", with(func(b []byte) { binary.BigEndian.PutUint32(b[132+8:], 1<<32-1) }), Broken},
		{"curve of 2³²−1 entries", rgbWith(hugeCurve("rTRC")), Broken},
		{"curve of power 0", rgbWith(curv("rTRC", 0)), Broken},
		{"parameters of type 9", rgbWith(para("rTRC", 9, 1)), Broken},
		{"parameters cut", rgbWith(para("rTRC", 4, 1, 1)), Broken},
		{"negative power", rgbWith(para("rTRC", 0, -1)), Broken},
		{"division by zero", rgbWith(para("rTRC", 1, 2, 0, 1)), Broken},
		{"wild numbers", rgbWith(para("rTRC", 0, 30000), para("gTRC", 4, 1, 30000, 30000, 0, 0, 30000, 0)), Broken},
		{"grey without a curve", build(2, "mntr", "GRAY"), Broken},
	} {
		p, err := Parse(c.b)
		assert.Nil(t, p, c.name)
		if assert.Error(t, err, c.name) {
			assertReason(t, c.want, err)
		}
	}
}

// rgbWith is a profile whose curves start with the given elements; the first
// of each name counts in no reader, so each name comes once.
func rgbWith(es ...element) []byte {
	have := map[string]bool{}
	for _, e := range es {
		have[e.tag] = true
	}
	for _, tag := range []string{"rTRC", "gTRC", "bTRC"} {
		if !have[tag] {
			es = append(es, para(tag, 0, 2.2))
		}
	}
	return build(4, "mntr", "RGB ", append(es, colorants(p3Colorants)...)...)
}

func hugeCurve(tag string) element {
	e := curv(tag, 1, 2)
	binary.BigEndian.PutUint32(e.data[8:], 1<<32-1)
	return e
}

// FuzzParse: no profile may panic, and one that is taken gives finite light.
func FuzzParse(f *testing.F) {
	for _, b := range [][]byte{p3v2()[:600], p3v4(), adobeRGB(),
		build(2, "mntr", "GRAY", curv("kTRC", 0x0233)), rgbWith(hugeCurve("rTRC")), nil} {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Parse(b)
		if (p == nil) == (err == nil) {
			t.Fatal("neither profile nor error, or both")
		}
		for _, x := range []float64{0, 0.04, 0.5, 1} {
			if v := p.Linear(x, 1-x, x); wild(v.R/1000) || wild(v.G/1000) || wild(v.B/1000) {
				t.Fatalf("light out of bounds: %v", v)
			}
		}
	})
}
