package preview

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// The drawn layout: seven courses of tiles in running bond on white paper, 59
// tiles in three colours, under a light that falls off to the right. Everything
// about it is arithmetic.
const (
	drawnW, drawnH             = 640, 448
	drawnX0, drawnY0           = 40, 34 // the panel's top-left corner, px
	drawnPanelW, drawnPanelH   = 560, 380
	drawnLong, drawnTall       = 68.0, 54.0 // pitch, px
	drawnGap                   = 8.0
	drawnCourses, drawnTiles   = 7, 4*8 + 3*9 // courses of 8, and between them of 7 and two halves
	drawnMmPerPx               = 0.5
	drawnShadow, drawnNoiseDev = .35, 1.5
)

// drawnColours are the tiles' reflectances, D50.
var drawnColours = [...]colormath.Lab{{L: 38, A: -14, B: -18}, {L: 58, A: 22, B: 38}, {L: 46, A: -20, B: 16}}

var drawnPanel = segment.Quad{{X: drawnX0, Y: drawnY0}, {X: drawnX0 + drawnPanelW, Y: drawnY0},
	{X: drawnX0 + drawnPanelW, Y: drawnY0 + drawnPanelH}, {X: drawnX0, Y: drawnY0 + drawnPanelH}}

// drawnLight is the light at a place, 1 on the mean.
func drawnLight(x float64) float64 { return 1.12 - .24*x/drawnW }

// placeIn finds the course and the tile at a place: how far it lies inside the
// tile (negative in a gap), which corner it is nearer to, and the tile's number
// in reading order, from 0.
func placeIn(x, y float64) (inside float64, upLeft bool, tile int) {
	x, y = x-drawnX0-drawnGap, y-drawnY0-drawnGap/2-.5
	course := math.Floor(y / drawnTall)
	if course < 0 || course >= drawnCourses {
		return -99, false, 0
	}
	odd := int(course)%2 == 1
	left, right := 0.0, drawnLong-drawnGap
	col := math.Floor(x / drawnLong)
	if odd {
		col = math.Floor(x/drawnLong + .5)
		if left, right = drawnLong*(col-.5), drawnLong*(col+.5)-drawnGap; col == 0 {
			left = 0
		} else if col == 8 {
			right = drawnLong*8 - drawnGap
		}
	} else {
		left, right = drawnLong*col, drawnLong*(col+1)-drawnGap
	}
	if col < 0 || col > 8 || col == 8 && !odd {
		return -99, false, 0
	}
	top := drawnTall*course + drawnGap/2
	dx, dy := min(x-left, right-x), min(y-top, top+drawnTall-drawnGap-y)
	tile = int(course)/2*17 + int(col)
	if odd {
		tile += 8
	}
	upLeft = dx < dy && x-left < right-x || dy <= dx && y-top < top+drawnTall-drawnGap-y
	if dx < 0 && dy < 0 {
		return -math.Hypot(dx, dy), upLeft, tile
	}
	return min(dx, dy), upLeft, tile
}

// drawnPNG paints the layout as a camera would see it.
var drawnPNG = sync.OnceValue(func() []byte {
	rng := rand.New(rand.NewPCG(4, 2))
	img := image.NewRGBA(image.Rect(0, 0, drawnW, drawnH))
	paper := colormath.Lab{L: 93}.LinearRGB()
	for y := range drawnH {
		for x := range drawnW {
			inside, upLeft, tile := placeIn(float64(x), float64(y))
			own := drawnColours[tile%3].LinearRGB()
			k := 1 - drawnShadow*math.Exp(-max(0, -inside)/3) // the paper beside a tile lies in shadow
			if inside > 0 && inside < 3 {                     // the bevel looks up or down
				bevel := .8
				if upLeft {
					bevel = 1.25
				}
				b := 1 + (bevel-1)*(3-inside)/3
				own = colormath.LinearRGB{R: b * own.R, G: b * own.G, B: b * own.B}
			}
			a := min(max(inside+.5, 0), 1)
			e := drawnLight(float64(x))
			var v [3]uint8
			for i, p := range [3]float64{k*paper.R*(1-a) + a*own.R, k*paper.G*(1-a) + a*own.G, k*paper.B*(1-a) + a*own.B} {
				v[i] = uint8(min(max(float64(colormath.Encode8(float32(e*p)))+math.Round(drawnNoiseDev*rng.NormFloat64()), 0), 255))
			}
			img.SetRGBA(x, y, color.RGBA{v[0], v[1], v[2], 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		panic(err)
	}
	return b.Bytes()
})

// drawnPhoto opens it as the command would.
func drawnPhoto(t *testing.T) *photo.Photo {
	t.Helper()
	ph, err := photo.Open(t.Context(), "layout.png", bytes.NewReader(drawnPNG()), photo.Limits{})
	require.NoError(t, err)
	return ph
}
