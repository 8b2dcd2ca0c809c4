package sheet

import (
	"fmt"
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/segment"
)

// Eleven shades and the bare layout of an ordinary panel: four by three, at
// full picture width.
func TestLayoutOfThePalette(t *testing.T) {
	l := newLayout(12, image.Rect(0, 0, 4000, 3000))
	assert.Equal(t, 4, l.cols)
	assert.Equal(t, image.Pt(900, 675), l.pic)
	assert.Less(t, l.h, maxSide)
}

// Whatever the number of shades and the shape of the panel: pictures keep the
// crop's shape, lie inside the sheet and apart, with room for their captions.
func TestLayoutHoldsEverything(t *testing.T) {
	for _, n := range []int{1, 2, 3, 4, 5, 7, 12, 13, 20, 65} {
		for _, size := range []image.Point{{4000, 3000}, {3000, 4000}, {8000, 900}, {700, 6000}, {300, 300}} {
			name := fmt.Sprintf("%d pictures of %v", n, size)
			l := newLayout(n, image.Rectangle{Max: size})
			assert.LessOrEqual(t, l.w, maxSide, name)
			assert.GreaterOrEqual(t, l.pic.X, minPicture, name)
			assert.InDelta(t, float64(size.Y)/float64(size.X), float64(l.pic.Y)/float64(l.pic.X), .5/float64(l.pic.X)+1e-9, name)
			var taken []image.Rectangle
			for k := range n {
				with := l.cell(k)
				with.Max.Y += l.caption
				assert.True(t, with.In(image.Rect(0, 0, l.w, l.h)), name)
				for _, other := range taken {
					require.False(t, with.Overlaps(other), name)
				}
				taken = append(taken, with)
			}
		}
	}
}

func TestCropIsThePanelAndAMargin(t *testing.T) {
	p := canned() // panel 20,20 to 259,159: a margin of 2 % of 239 px is 4.78 px
	assert.Equal(t, image.Rect(15, 15, 265, 165), Crop(p))
	p.Frame.Panel = segment.Quad{{X: 0, Y: 0}, {X: 279, Y: 0}, {X: 279, Y: 179}, {X: 0, Y: 179}}
	assert.Equal(t, image.Rect(0, 0, 280, 180), Crop(p), "no further than the frame")
	p.Frame.Panel = segment.Quad{{X: -900}, {X: -800}, {X: -800, Y: 9}, {X: -900, Y: 9}}
	assert.Equal(t, image.Rect(0, 0, 280, 180), Crop(p), "a panel outside the frame shows all of it")
}

// The bare layout comes first, then the trials in order, each exactly the
// reduced picture; the surround is untouched neutral grey.
func TestComposePutsPicturesInOrder(t *testing.T) {
	p := canned()
	colours := []color.RGBA{{200, 10, 10, 255}, {10, 200, 10, 255}, {10, 10, 200, 255}}
	calls := 0
	img := Compose(p, flat(p.Frame.W, p.Frame.H, colours[0]), func(i int) *image.RGBA {
		calls++
		return flat(p.Frame.W, p.Frame.H, colours[i+1])
	})
	assert.Equal(t, 2, calls, "each shade is drawn once")
	l := newLayout(3, Crop(p))
	for k, c := range colours {
		cell := l.cell(k)
		assert.Equal(t, c, img.RGBAAt(cell.Min.X, cell.Min.Y))
		assert.Equal(t, c, img.RGBAAt(cell.Max.X-1, cell.Max.Y-1))
		assert.Equal(t, surround, img.RGBAAt(cell.Min.X-3, cell.Min.Y-3))
		assert.Equal(t, surround, img.RGBAAt(cell.Max.X+2, cell.Max.Y+2))
	}
	below := l.cell(1)
	assert.Equal(t, srgb(p.Trials[0].Shade.Lab), img.RGBAAt(below.Min.X+9, below.Max.Y+scaled(60, l.unit)), "patch of the shade")
}

func TestAddIgnoresWhatIsNotThere(t *testing.T) {
	s := New(canned())
	before := append([]uint8(nil), s.Image().Pix...)
	s.Add(2, flat(10, 10, color.RGBA{255, 0, 0, 255}))
	s.Add(-2, flat(10, 10, color.RGBA{255, 0, 0, 255}))
	assert.Equal(t, before, s.Image().Pix)
}

func TestComposeIsDeterministic(t *testing.T) {
	p := canned()
	paint := func(int) *image.RGBA { return gradient(p.Frame.W, p.Frame.H) }
	assert.Equal(t, Compose(p, paint(0), paint).Pix, Compose(p, paint(0), paint).Pix)
}

// White on the surround must be readable: 4.5 is the least that WCAG 2.1 asks
// of text; the surround must be neutral and within ISO 3664's 10 to 60 %.
func TestSurround(t *testing.T) {
	assert.True(t, surround.R == surround.G && surround.G == surround.B)
	grey := colormath.LinearRGB{R: 1, G: 1, B: 1}
	v := float64(colormath.Decode8(surround.R))
	grey.R, grey.G, grey.B = v, v, v
	assert.Greater(t, colormath.DisplayRatio(grey.Lab(), colormath.Lab{L: 100}), 4.5)
	assert.InDelta(t, .35, v, .25)
}

func TestCaptions(t *testing.T) {
	p := canned()
	assert.Equal(t, caption{name: "Bare layout", lines: [2]string{"as laid, before grouting", "6 tiles · gaps are 50 % of the panel"}}, bareCaption(p))
	assert.Equal(t, caption{name: "1 · mid warm", value: "L* 61",
		lines: [2]string{"soft · between light and dark tiles", "outline lost: 64 % of tile area, 2 groups"}}, shadeCaption(&p.Trials[0]))
	assert.Equal(t, caption{name: "2 · near black", value: "L* 25",
		lines: [2]string{"graphic · darker than the tiles", "every tile keeps its outline"}}, shadeCaption(&p.Trials[1]))
}

// The longest captions of the built-in shades fit without being cut.
func TestCaptionsFit(t *testing.T) {
	p := canned()
	p.Trials[0].MergingShare, p.Trials[0].Groups = .004, 88
	s := New(p)
	st := s.style(newPen(), false, 35)
	room := s.l.pic.X - s.px(112+24)
	c := shadeCaption(&p.Trials[0])
	for _, line := range c.lines {
		assert.LessOrEqual(t, width(st, line), room, line)
	}
}

func TestShortenMarksTheCut(t *testing.T) {
	st := style{font: newPen().regular, px: 20, ink: ink}
	f := st.face()
	defer f.Close()
	long := strings.Repeat("long title ", 20)
	got := shorten(f, long, 200)
	assert.True(t, strings.HasSuffix(got, "…"))
	assert.LessOrEqual(t, font.MeasureString(f, got).Ceil(), 200)
	assert.Equal(t, "short", shorten(f, "short", 200))
	assert.Empty(t, shorten(f, long, 3))
}

func TestWrapKeepsEveryWord(t *testing.T) {
	st := style{font: newPen().regular, px: 30, ink: ink}
	for _, room := range []int{150, 700, 3000} {
		lines := wrap(st, room, closing(grout.Cured)...)
		assert.Equal(t, strings.Fields(strings.Join(closing(grout.Cured), " ")), strings.Fields(strings.Join(lines, " ")))
		for _, l := range lines {
			assert.True(t, width(st, l) <= room || !strings.Contains(l, " "), l)
		}
	}
}

// Every aim has its words.
func TestAimLine(t *testing.T) {
	for _, a := range []preview.Aim{preview.Outline, preview.Balance, preview.Blend} {
		line := aimLine(a)
		assert.Contains(t, line, string(a)+": ")
		assert.False(t, strings.HasSuffix(line, ": "))
	}
}

// The foot says which look the pictures have, and no other.
func TestFootNamesTheState(t *testing.T) {
	for s, words := range map[grout.State]string{"": "cured and dry", grout.Cured: "cured and dry", grout.Damp: "damp, as on the day", grout.Enhanced: "a sealer that wets the look"} {
		foot := strings.Join(closing(s), " ")
		assert.Contains(t, foot, words)
		if words != "cured and dry" {
			assert.NotContains(t, foot, "cured and dry")
			assert.Contains(t, foot, "ranks and words are for cured, bare grout")
		}
	}
}
