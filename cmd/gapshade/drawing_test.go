package main

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"sync"

	"gapshade/colormath"
)

// The drawn layout: 6 × 5 glazed tiles in six colours on pale paper, as a phone
// would see it from above. The gap finder knows photos of real things, so the
// tiles have what it looks for: soft edges, a bevel that is lighter towards the
// window, a shadow in the gap, a little noise.
const (
	drawnW, drawnH   = 360, 300
	drawnCols        = 6
	drawnRows        = 5
	drawnPitch       = 48.0
	drawnGap         = 8.0
	drawnX0, drawnY0 = 36.0, 30.0
)

var drawnTiles = [...][3]float64{{38, 92, 118}, {196, 122, 60}, {70, 120, 72}, {150, 60, 54}, {64, 66, 110}, {110, 96, 80}}

// drawnLayout is the layout on pale paper as PNG bytes; the same bytes every time.
var drawnLayout = sync.OnceValue(func() []byte { return drawnOn([3]float64{226, 224, 218}, 7, 0, 0, 0) })

// drawnOnBlack is the same layout on black paper, the camera a few px aside.
var drawnOnBlack = sync.OnceValue(func() []byte { return drawnOn([3]float64{34, 33, 34}, 8, 2.3, -1.4, 0) })

// drawnPushed is that with one tile pushed by five px.
var drawnPushed = sync.OnceValue(func() []byte { return drawnOn([3]float64{34, 33, 34}, 8, 2.3, -1.4, 5) })

// drawnRound is a round layout on pale paper, nine tiles across: 432 px with the shoulder
// of half a gap.
var drawnRound = sync.OnceValue(func() []byte {
	const across = 9
	side := 2*drawnX0 + across*drawnPitch
	return pngOf(int(side), int(side), 10, func(x, y float64) [3]float64 {
		col, row := math.Floor((x-drawnX0)/drawnPitch), math.Floor((y-drawnX0)/drawnPitch)
		inside, _, _ := intoTile(x, y+drawnY0-drawnX0)
		paper := [3]float64{226, 224, 218}
		if math.Hypot(col-across/2, row-across/2) > 4.6 {
			return paper
		}
		tile := drawnTiles[(int(col)*5+int(row)*3)%len(drawnTiles)]
		return between(scaled(paper, 1-.45*math.Exp(-max(0, -inside)/3)), tile, min(max(inside+.5, 0), 1))
	})
})

// drawnOn draws the layout on a paper, (dx, dy) px aside, the tile in its second row
// and third column pushed to the right.
func drawnOn(paper [3]float64, seed uint64, dx, dy, push float64) []byte {
	return pngOf(drawnW, drawnH, seed, func(x, y float64) [3]float64 {
		x, y = x-dx, y-dy
		paper := scaled(paper, 1-.06*x/drawnW)
		col, row := math.Floor((x-drawnX0)/drawnPitch), math.Floor((y-drawnY0)/drawnPitch)
		if col == 2 && row == 1 {
			x -= push
		}
		inside, dx, dy := intoTile(x, y)
		if col < 0 || row < 0 || col >= drawnCols || row >= drawnRows {
			return paper
		}
		tile := drawnTiles[(int(col)*5+int(row)*3)%len(drawnTiles)]
		if edge := min(dx, dy); edge < 3 && inside > 0 {
			bevel := 1.18
			if right, low := x-drawnX0-col*drawnPitch > drawnPitch/2, y-drawnY0-row*drawnPitch > drawnPitch/2; dx < dy && right || dy <= dx && low {
				bevel = .8
			}
			tile = scaled(tile, 1+(bevel-1)*(3-edge)/3)
		}
		shade := 1 - .45*math.Exp(-max(0, -inside)/3) // the paper beside a tile lies in its shadow
		return between(scaled(paper, shade), tile, min(max(inside+.5, 0), 1))
	})
}

// drawnWall is a plain plastered wall: a soft shadow and grain, no joints.
var drawnWall = sync.OnceValue(func() []byte {
	return pngOf(drawnW, drawnH, 9, func(x, y float64) [3]float64 {
		return scaled([3]float64{198, 190, 178}, 1-.2*x/drawnW-.05*math.Sin(y/90))
	})
})

// intoTile is how far a place lies inside its tile, negative in the gap, and its
// distances to the nearer upright and the nearer level edge. Corners are
// rounded.
func intoTile(x, y float64) (inside, dx, dy float64) {
	half := (drawnPitch - drawnGap) / 2
	dx = half - math.Abs(math.Mod(x-drawnX0+drawnPitch, drawnPitch)-drawnPitch/2)
	dy = half - math.Abs(math.Mod(y-drawnY0+drawnPitch, drawnPitch)-drawnPitch/2)
	const round = 3
	if dx < round && dy < round {
		return round - math.Hypot(round-dx, round-dy), dx, dy
	}
	return min(dx, dy), dx, dy
}

func scaled(c [3]float64, k float64) [3]float64 { return [3]float64{c[0] * k, c[1] * k, c[2] * k} }

func between(a, b [3]float64, t float64) [3]float64 {
	for c := range a {
		a[c] += t * (b[c] - a[c])
	}
	return a
}

// pngOf draws a picture of sRGB codes with a little noise from a fixed seed.
func pngOf(w, h int, seed uint64, colourAt func(x, y float64) [3]float64) []byte {
	rng := rand.New(rand.NewPCG(seed, seed))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := colourAt(float64(x), float64(y))
			var v [3]uint8
			for k := range v {
				v[k] = uint8(min(max(c[k]+1.5*rng.NormFloat64()+.5, 0), 255))
			}
			img.SetRGBA(x, y, color.RGBA{v[0], v[1], v[2], 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		panic(err) // memory has no way to fail
	}
	return b.Bytes()
}

// hugePNG is a file of 45 bytes that claims w × h pixels (PNG, ISO/IEC 15948,
// clause 11: signature, IHDR, IEND).
func hugePNG(w, h uint32) []byte {
	chunk := func(b []byte, name string, data []byte) []byte {
		b = binary.BigEndian.AppendUint32(b, uint32(len(data)))
		from := len(b)
		b = append(append(b, name...), data...)
		return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[from:]))
	}
	head := binary.BigEndian.AppendUint32(nil, w)
	head = append(binary.BigEndian.AppendUint32(head, h), 1, 0, 0, 0, 0)
	return chunk(chunk([]byte("\x89PNG\r\n\x1a\n"), "IHDR", head), "IEND", nil)
}

// drawnChips is three cured samples in a row on white paper (L* 93) that lies on a
// brown table: L* 82, 61 and 40, under light that falls off to the right.
var drawnChips = sync.OnceValue(func() []byte {
	codes := func(l, a, b, light float64) [3]float64 {
		c := colormath.Lab{L: l, A: a, B: b}.LinearRGB()
		return [3]float64{255 * colormath.EncodeSRGB(light*c.R), 255 * colormath.EncodeSRGB(light*c.G), 255 * colormath.EncodeSRGB(light*c.B)}
	}
	return pngOf(460, 300, 9, func(x, y float64) [3]float64 {
		light := .98 - .15*x/460
		switch row := y >= 40 && y < 100; {
		case x < 15 || y < 12 || x >= 445 || y >= 288:
			return codes(45, 14, 28, light)
		case row && x >= 60 && x < 140:
			return codes(82, 1, 6, light)
		case row && x >= 190 && x < 270:
			return codes(61, 0, 1, light)
		case row && x >= 310 && x < 390:
			return codes(40, 7, 11, light)
		}
		return codes(93, 0, 0, light)
	})
})
