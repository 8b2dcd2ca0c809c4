package icc

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// element is one tag of a profile that a test builds.
type element struct {
	tag  string
	data []byte
}

// build puts a profile together as ICC.1:2022 §7 lays it out. It shares no
// code with the reader.
func build(version byte, class, space string, es ...element) []byte {
	b := make([]byte, 128, 1024)
	b[8] = version
	copy(b[12:], class)
	copy(b[16:], space)
	copy(b[20:], "XYZ ")
	copy(b[36:], "acsp")
	put15(b[68:], 0.9642)
	put15(b[72:], 1)
	put15(b[76:], 0.8249)
	b = binary.BigEndian.AppendUint32(b, uint32(len(es)))
	at := len(b) + 12*len(es)
	var body []byte
	for _, e := range es {
		b = append(b, e.tag...)
		b = binary.BigEndian.AppendUint32(b, uint32(at+len(body)))
		b = binary.BigEndian.AppendUint32(b, uint32(len(e.data)))
		body = append(body, e.data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	b = append(b, body...)
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	return b
}

func put15(b []byte, v float64) {
	binary.BigEndian.PutUint32(b, uint32(int32(math.Round(v*65536))))
}

func xyzTag(tag string, x, y, z float64) element {
	b := make([]byte, 20)
	copy(b, "XYZ ")
	put15(b[8:], x)
	put15(b[12:], y)
	put15(b[16:], z)
	return element{tag, b}
}

func curv(tag string, entries ...uint16) element {
	b := append([]byte("curv"), 0, 0, 0, 0)
	b = binary.BigEndian.AppendUint32(b, uint32(len(entries)))
	for _, e := range entries {
		b = binary.BigEndian.AppendUint16(b, e)
	}
	return element{tag, b}
}

func para(tag string, kind uint16, ps ...float64) element {
	b := append([]byte("para"), 0, 0, 0, 0)
	b = binary.BigEndian.AppendUint16(b, kind)
	b = append(b, 0, 0)
	for _, p := range ps {
		b = append(b, 0, 0, 0, 0)
		put15(b[len(b)-4:], p)
	}
	return element{tag, b}
}

// desc is the name as version 2 writes it, mluc as version 4 does.
func desc(name string) element {
	b := append([]byte("desc"), 0, 0, 0, 0)
	b = binary.BigEndian.AppendUint32(b, uint32(len(name)+1))
	return element{"desc", append(append(b, name...), 0)}
}

func mluc(name string) element {
	b := append([]byte("mluc"), 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 12)
	b = append(b, "enUS"...)
	b = binary.BigEndian.AppendUint32(b, uint32(2*len([]rune(name))))
	b = binary.BigEndian.AppendUint32(b, 28)
	for _, c := range name {
		b = binary.BigEndian.AppendUint16(b, uint16(c))
	}
	return element{"desc", b}
}

// Colorants under D50 as the specifications of the two spaces give them, to
// seven digits (SMPTE EG 432-1; Adobe RGB (1998) Color Image Encoding).
var (
	p3Colorants    = [9]float64{0.5151187, 0.2411892, -0.0010505, 0.2919778, 0.6922441, 0.0418791, 0.1571035, 0.0665668, 0.7840713}
	adobeColorants = [9]float64{0.6097408, 0.3111125, 0.0194654, 0.2052726, 0.6256751, 0.0608745, 0.1491867, 0.0632123, 0.7445601}
	srgbColorants  = [9]float64{0.4360413, 0.2224845, 0.0139202, 0.3851129, 0.7169051, 0.0970672, 0.1430458, 0.0606104, 0.7139126}
)

func colorants(c [9]float64) []element {
	return []element{
		xyzTag("rXYZ", c[0], c[1], c[2]), xyzTag("gXYZ", c[3], c[4], c[5]), xyzTag("bXYZ", c[6], c[7], c[8]),
	}
}

// srgbTable is the sRGB curve as a table of n entries, as version 2 profiles
// carry it.
func srgbTable(n int) []uint16 {
	out := make([]uint16, n)
	for i := range out {
		x := float64(i) / float64(n-1)
		y := x / 12.92
		if x > 0.04045 {
			y = math.Pow((x+0.055)/1.055, 2.4)
		}
		out[i] = uint16(math.Round(65535 * y))
	}
	return out
}

func p3v2() []byte {
	t := srgbTable(1024)
	es := append(colorants(p3Colorants), desc("Display P3"), curv("rTRC", t...), curv("gTRC", t...), curv("bTRC", t...))
	return build(2, "mntr", "RGB ", es...)
}

// rgbPara is a version 4 profile with the sRGB curve as parameters of type 3.
func rgbPara(name string, c [9]float64) []byte {
	es := append(colorants(c), mluc(name))
	for _, tag := range []string{"rTRC", "gTRC", "bTRC"} {
		es = append(es, para(tag, 3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045))
	}
	return build(4, "mntr", "RGB ", es...)
}

func p3v4() []byte { return rgbPara("Display P3", p3Colorants) }

func adobeRGB() []byte {
	es := append(colorants(adobeColorants), desc("Adobe RGB (1998)"))
	for _, tag := range []string{"rTRC", "gTRC", "bTRC"} {
		es = append(es, curv(tag, 0x0233)) // 563/256
	}
	return build(2, "mntr", "RGB ", es...)
}

func parse(t *testing.T, b []byte) *Profile {
	t.Helper()
	p, err := Parse(b)
	require.NoError(t, err)
	return p
}
