package colormath

import (
	"math"
	"sync"
)

// Constants of the sRGB transfer curve: IEC 61966-2-1:1999, clause 5.2. The two
// limits are the standard's rounded ones; the curve has a step of about 1e-8
// there, far below a 16-bit code.
const (
	srgbSlope       = 12.92
	srgbOffset      = 0.055
	srgbGamma       = 2.4
	srgbCodeLimit   = 0.04045   // encoded side
	srgbLinearLimit = 0.0031308 // linear side
)

// DecodeSRGB turns an encoded sRGB value (1 = code 255) into linear light, by
// the exact curve of IEC 61966-2-1. Negative values are mirrored, f(−v) = −f(v),
// and values above 1 continue the power law, so wide-gamut colours survive the
// way there and back.
func DecodeSRGB(v float64) float64 {
	if v < 0 {
		return -DecodeSRGB(-v)
	}
	if v <= srgbCodeLimit {
		return v / srgbSlope
	}
	return math.Pow((v+srgbOffset)/(1+srgbOffset), srgbGamma)
}

// EncodeSRGB turns linear light (1 = white) into an encoded sRGB value; the
// inverse of [DecodeSRGB], mirrored for negative light in the same way.
func EncodeSRGB(l float64) float64 {
	if l < 0 {
		return -EncodeSRGB(-l)
	}
	if l <= srgbLinearLimit {
		return l * srgbSlope
	}
	return (1+srgbOffset)*math.Pow(l, 1/srgbGamma) - srgbOffset
}

// The tables below are filled once from the two functions above and never
// written again; they are not exported, so nobody else can.
var (
	decodeTable = newDecodeTable()
	encodeTable = newEncodeTable()
	decode16    = sync.OnceValue(newDecode16Table)
)

// Decode8 turns an 8-bit sRGB code into linear light, 0…1, by table.
func Decode8(v uint8) float32 { return decodeTable[v] }

// Decode16 turns a 16-bit sRGB code (65535 = white) into linear light, 0…1, by
// a table of 256 KB that is made at the first call.
func Decode16(v uint16) float32 { return decode16()[v] }

// Encode16 turns linear light into the nearest 16-bit sRGB code; light outside
// 0…1 is clipped and NaN becomes 0.
func Encode16(l float32) uint16 {
	if !(l > 0) {
		return 0
	}
	return uint16(math.Round(65535 * EncodeSRGB(math.Min(float64(l), 1))))
}

// Encode8 turns linear light into the nearest 8-bit sRGB code; light outside
// 0…1 is clipped and NaN becomes 0. The result is exactly
// round(255·EncodeSRGB(l)) for every float32, without calling Pow: the bucket
// of l gives the code at its lower end, and one comparison says whether l has
// passed the step to the next code. A rounded-off table without the comparison
// would be off by one code near the steps.
func Encode8(l float32) uint8 {
	if !(l > 0) {
		return 0
	}
	if l >= 1 {
		return 255
	}
	code := encodeTable.base[int(l*encodeBuckets)&(encodeBuckets-1)]
	if l >= encodeTable.step[code] {
		code++
	}
	return code
}

// encodeBuckets must be a power of two, so that l·encodeBuckets is exact, and
// more than 255·12.92 = 3295, so that no bucket holds two steps.
const encodeBuckets = 4096

// encodeSteps finds 8-bit codes: base[i] is the code of light i/encodeBuckets,
// step[c] the smallest float32 whose code is c+1 (2, out of reach, for 255).
type encodeSteps struct {
	base [encodeBuckets]uint8
	step [256]float32
}

// encode8Slow is the definition that the fast way must match.
func encode8Slow(l float32) uint8 {
	return uint8(math.Round(255 * EncodeSRGB(math.Max(0, math.Min(1, float64(l))))))
}

func newEncodeTable() *encodeSteps {
	t := new(encodeSteps)
	for c := range 255 {
		t.step[c] = firstLightOf(c + 1)
	}
	t.step[255] = 2
	code := 0
	for i := range t.base {
		for float32(i)/encodeBuckets >= t.step[code] {
			code++
		}
		t.base[i] = uint8(code)
	}
	return t
}

// firstLightOf returns the smallest float32 whose code is c, 1…255: the middle
// between two codes, decoded, is at most a few float32 steps away from it.
func firstLightOf(c int) float32 {
	l := float32(DecodeSRGB((float64(c) - 0.5) / 255))
	for int(encode8Slow(l)) >= c {
		l = math.Nextafter32(l, 0)
	}
	for int(encode8Slow(l)) < c {
		l = math.Nextafter32(l, 1)
	}
	return l
}

func newDecodeTable() *[256]float32 {
	t := new([256]float32)
	for i := range t {
		t[i] = float32(DecodeSRGB(float64(i) / 255))
	}
	return t
}

func newDecode16Table() *[65536]float32 {
	t := new([65536]float32)
	for i := range t {
		t[i] = float32(DecodeSRGB(float64(i) / 65535))
	}
	return t
}
