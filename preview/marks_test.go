package preview

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	xdraw "golang.org/x/image/draw"

	"gapshade/colormath"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Reds and blues as common programs offer them, plain and half see-through over
// white, grey and black (by hand: the mean of both codes), and colours of tiles,
// wood and paper that must stay nothing.
func TestColoursOfMarks(t *testing.T) {
	for name, c := range map[string]struct {
		rgb  [3]uint8
		want segment.Shows
	}{
		"red":               {[3]uint8{255, 0, 0}, segment.ShowsGap},
		"another red":       {[3]uint8{237, 28, 36}, segment.ShowsGap},
		"a third":           {[3]uint8{255, 59, 48}, segment.ShowsGap},
		"dark red":          {[3]uint8{160, 0, 0}, segment.ShowsGap},
		"red on white":      {[3]uint8{255, 128, 128}, segment.ShowsGap},
		"red on grey":       {[3]uint8{192, 64, 64}, segment.ShowsGap},
		"red on black":      {[3]uint8{128, 0, 0}, segment.ShowsGap},
		"blue":              {[3]uint8{0, 0, 255}, segment.ShowsTile},
		"another blue":      {[3]uint8{63, 72, 204}, segment.ShowsTile},
		"a third blue":      {[3]uint8{0, 122, 255}, segment.ShowsTile},
		"blue on white":     {[3]uint8{128, 128, 255}, segment.ShowsTile},
		"white":             {[3]uint8{255, 255, 255}, 0},
		"black":             {[3]uint8{0, 0, 0}, 0},
		"grey":              {[3]uint8{128, 128, 128}, 0},
		"near black red":    {[3]uint8{60, 0, 0}, 0},
		"green":             {[3]uint8{0, 255, 0}, segment.ShowsOutside},
		"dark green":        {[3]uint8{0, 160, 0}, segment.ShowsOutside},
		"green on white":    {[3]uint8{128, 255, 128}, segment.ShowsOutside},
		"lime":              {[3]uint8{128, 255, 0}, 0},
		"spring green":      {[3]uint8{0, 255, 128}, 0},
		"a green tile":      {[3]uint8{70, 120, 72}, 0},
		"yellow":            {[3]uint8{255, 255, 0}, 0},
		"orange":            {[3]uint8{255, 128, 0}, 0},
		"magenta":           {[3]uint8{255, 0, 255}, 0},
		"turquoise":         {[3]uint8{0, 200, 200}, 0},
		"violet":            {[3]uint8{150, 0, 255}, 0},
		"terracotta":        {[3]uint8{190, 130, 110}, 0},
		"kraft paper":       {[3]uint8{200, 170, 130}, 0},
		"a slate blue tile": {[3]uint8{90, 100, 130}, 0},
	} {
		assert.Equal(t, c.want, markOf(c.rgb[0], c.rgb[1], c.rgb[2]), name)
	}
}

var red, blue = color.NRGBA{255, 0, 0, 255}, color.NRGBA{0, 0, 255, 255}

// brush paints an upright or level bar of so many px across.
func brush(img draw.Image, c color.Color, x0, y0, x1, y1, across int) {
	draw.Draw(img, image.Rect(x0-across/2, y0-across/2, x1+across/2+1, y1+across/2+1), image.NewUniform(c), image.Point{}, draw.Src)
}

// file writes a picture for OpenMarks.
func file(t *testing.T, name string, img image.Image) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	var b bytes.Buffer
	if filepath.Ext(name) == ".jpg" {
		require.NoError(t, jpeg.Encode(&b, img, nil))
	} else {
		require.NoError(t, png.Encode(&b, img))
	}
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	return path
}

func openMarks(t *testing.T, ph *photo.Photo, path string) ([]segment.Stroke, error) {
	t.Helper()
	return OpenMarks(t.Context(), path, ph, photo.Limits{Lean: true})
}

// A bar of 40 × 7 px in red, a square of 9 px in blue and one of 21 in green, on nothing: in the
// photo's pixels, whatever the size of the marks.
func TestMarksOnAnEmptyPicture(t *testing.T) {
	ph := drawnPhoto(t)
	for _, k := range []int{1, 2} {
		img := image.NewNRGBA(image.Rect(0, 0, k*drawnW, k*drawnH))
		brush(img, red, 100*k, 200*k, 140*k, 200*k, 6*k)
		brush(img, blue, 300*k, 50*k, 300*k, 50*k, 8*k)
		brush(img, color.NRGBA{0, 255, 0, 255}, 500*k, 300*k, 500*k, 300*k, 20*k)
		brush(img, color.NRGBA{200, 200, 0, 255}, 10*k, 10*k, 90*k, 90*k, 8*k) // somebody's remark
		got, err := openMarks(t, ph, file(t, "marks.png", img))
		require.NoError(t, err)
		require.Equal(t, 3, len(got))
		assert.Equal(t, segment.ShowsOutside, got[2].Shows)
		assert.InDelta(t, 500, got[2].Path[0].X, 1.5)
		assert.InDelta(t, 300, got[2].Path[0].Y, 1.5)
		assert.Equal(t, segment.ShowsTile, got[0].Shows, "tiles first")
		assert.InDelta(t, 300, got[0].Path[0].X, 1.5)
		assert.InDelta(t, 50, got[0].Path[0].Y, 1.5)
		assert.Equal(t, segment.ShowsGap, got[1].Shows)
		left, right := math.Inf(1), 0.0
		for _, d := range got[1].Path {
			assert.InDelta(t, 200, d.Y, 1)
			assert.InDelta(t, 3.5, d.R, 1)
			left, right = min(left, d.X-d.R), max(right, d.X+d.R)
		}
		assert.InDelta(t, 97, left, 1.5)
		assert.InDelta(t, 143, right, 1.5)
	}
}

// redAndBlueTiles is a photo that is half red and blue tiles; a stroke on it is
// told from them, on a copy of the same size and on a larger one.
func TestMarksOnACopyOfThePhoto(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 300, 200))
	draw.Draw(img, img.Rect, image.NewUniform(color.NRGBA{235, 232, 225, 255}), image.Point{}, draw.Src)
	for k := range 24 {
		x, y := 10+48*(k%6), 10+48*(k/6)
		c := color.NRGBA{200, 30, 40, 255}
		if k%2 == 1 {
			c = color.NRGBA{30, 50, 170, 255}
		}
		draw.Draw(img, image.Rect(x, y, x+40, y+40), image.NewUniform(c), image.Point{}, draw.Src)
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	ph, err := photo.Open(t.Context(), "layout.png", &b, photo.Limits{})
	require.NoError(t, err)
	for _, k := range []int{1, 2} {
		marks := image.NewRGBA(image.Rect(0, 0, k*300, k*200))
		xdraw.CatmullRom.Scale(marks, marks.Rect, img, img.Rect, xdraw.Src, nil)
		brush(marks, red, 54*k, 12*k, 54*k, 48*k, 4*k)
		got, err := openMarks(t, ph, file(t, "marks.png", marks))
		require.NoError(t, err)
		require.Equal(t, 1, len(got), "%d times the size", k) // Len would print every disc
		assert.Equal(t, segment.ShowsGap, got[0].Shows)
		assert.InDelta(t, 54, got[0].Path[0].X, 1.5)

		// the copy without a stroke marks nothing
		xdraw.CatmullRom.Scale(marks, marks.Rect, img, img.Rect, xdraw.Src, nil)
		_, err = openMarks(t, ph, file(t, "marks.png", marks))
		assertFault(t, err, CodeUsage, "holds no red, blue or green strokes")
	}
}

func assertFault(t *testing.T, err error, code int, what string) {
	t.Helper()
	f, ok := errors.AsType[*Fault](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, code, f.Code)
	assert.Contains(t, f.Error(), what)
	assert.NotEmpty(t, f.Next)
}

func TestMarksThatCannotBe(t *testing.T) {
	ph := drawnPhoto(t)
	whole := func(w, h int, c color.Color) image.Image {
		img := image.NewNRGBA(image.Rect(0, 0, w, h))
		draw.Draw(img, img.Rect, image.NewUniform(c), image.Point{}, draw.Src)
		return img
	}
	_, err := openMarks(t, ph, file(t, "marks.png", whole(drawnW, drawnH, red)))
	assertFault(t, err, CodeUsage, "red, blue and green cover 100 % of it")
	_, err = openMarks(t, ph, file(t, "marks.png", whole(drawnH, drawnW, red)))
	assertFault(t, err, CodeUsage, "marks.png is 448 x 640 px, which is not the shape of the photo, 640 x 448 px upright")
	_, err = openMarks(t, ph, file(t, "marks.jpg", whole(drawnW, drawnH, red)))
	assertFault(t, err, CodePhoto, "it is a jpeg picture, and strokes are read from PNG only")
	_, err = openMarks(t, ph, file(t, "marks.png", whole(drawnW, drawnH, color.White)))
	assertFault(t, err, CodeUsage, "holds no red, blue or green strokes")
	_, err = openMarks(t, ph, filepath.Join(t.TempDir(), "none.png"))
	assertFault(t, err, CodePhoto, "--marks none.png: there is no such file")
	words := filepath.Join(t.TempDir(), "words.png")
	require.NoError(t, os.WriteFile(words, []byte("red here, blue there"), 0o644))
	_, err = openMarks(t, ph, words)
	assertFault(t, err, CodePhoto, "--marks words.png: ")
	assert.Contains(t, err.(*Fault).Next, "as PNG")
	stopped, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = OpenMarks(stopped, file(t, "marks.png", whole(drawnW, drawnH, red)), ph, photo.Limits{})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = OpenMarks(t.Context(), file(t, "marks.png", whole(drawnW, drawnH, red)), ph, photo.Limits{Pixels: 1000})
	assertFault(t, err, CodeLimit, "marks.png")

	dots := image.NewNRGBA(image.Rect(0, 0, drawnW, drawnH))
	for y := 4; y < drawnH-4; y += 8 {
		for x := 4; x < drawnW-4; x += 8 {
			brush(dots, red, x, y, x, y, 2)
		}
	}
	_, err = openMarks(t, ph, file(t, "marks.png", dots))
	assertFault(t, err, CodeUsage, "separate strokes, and 2000 are read at most")
}

// closedUp is the drawn layout with the upright joint between the third and the
// fourth tile of the fifth course filled by these tiles' edges, and the marks that
// tell of it: one red stroke, five px wide.
func closedUp(t *testing.T) (*photo.Photo, []segment.Stroke) {
	t.Helper()
	src, err := png.Decode(bytes.NewReader(drawnPNG()))
	require.NoError(t, err)
	img := image.NewRGBA(src.Bounds())
	draw.Draw(img, img.Rect, src, image.Point{}, draw.Src)
	// the joint runs from 244 to 252, course 5 from 258 to 304
	for y := 257; y < 305; y++ {
		for x := 238; x < 258; x++ {
			from := 234 - (x - 238) // mirrored, so that grain goes on
			if x >= 248 {
				from = 262 + (257 - x)
			}
			img.SetRGBA(x, y, img.RGBAAt(from, y))
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	ph, err := photo.Open(t.Context(), "layout.png", &b, photo.Limits{})
	require.NoError(t, err)
	marks := image.NewNRGBA(img.Rect)
	brush(marks, red, 248, 262, 248, 300, 4)
	strokes, err := openMarks(t, ph, file(t, "marks.png", marks))
	require.NoError(t, err)
	return ph, strokes
}

// The marks separate what the finder took for one tile, with corners and without,
// and in the straightened panel, where they move with the photo.
func TestMarksCorrectTheMap(t *testing.T) {
	ph, strokes := closedUp(t)
	corners := drawnPanel
	tilted := segment.Quad{{X: 32, Y: 30}, {X: 606, Y: 34}, {X: 600, Y: 420}, {X: 40, Y: 414}}
	for name, set := range map[string]func(s *Settings){
		"corners":      func(s *Settings) { s.Corners = &corners },
		"found":        func(*Settings) {},
		"straightened": func(s *Settings) { s.Corners, s.Straighten = &tilted, true },
	} {
		s := Default()
		s.Shades = s.Shades[:1]
		set(&s)
		before, err := Make(t.Context(), ph, s)
		require.NoError(t, err, name)
		require.Len(t, before.Map.Tiles, drawnTiles-1, name)
		assert.NotContains(t, notesBut(before), "marks")
		s.Marks = strokes
		after, err := Make(t.Context(), ph, s)
		require.NoError(t, err, name)
		assert.Len(t, after.Map.Tiles, drawnTiles, name)
		assert.Contains(t, notesBut(after), "marks")
		assert.Equal(t, before.Map.Confidence, after.Map.Confidence, "strokes don't make the finder surer")

		// the joint opens under the brush of 4 px, in the frame's pixels
		x, y := colormath.Homography(after.Frame.PhotoToFrame).Apply(248, 281)
		at := int(y+.5)*after.Map.W + int(x+.5)
		assert.Greater(t, slices.Max(after.Map.Gap[at-4:at+5]), uint8(250), name)
		assert.Greater(t, after.Map.Gap[at], uint8(128), name)
	}
}

// By hand: a turn by 90° and twice the size.
func TestMovedStrokes(t *testing.T) {
	s := []segment.Stroke{{Shows: segment.ShowsGap, Path: []segment.Dab{{Point: segment.Point{X: 3, Y: 5}, R: 2}}}}
	got := moved(s, colormath.Homography{0, -2, 100, 2, 0, 0, 0, 0, 1})
	assert.InDelta(t, 90, got[0].Path[0].X, 1e-9)
	assert.InDelta(t, 6, got[0].Path[0].Y, 1e-9)
	assert.InDelta(t, 4, got[0].Path[0].R, 1e-9)
	assert.Equal(t, 3., s[0].Path[0].X, "the strokes given stay as they are")
	assert.Nil(t, moved(nil, colormath.Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}))
}
