package photo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
)

// A smaller photo is what Reduced gives, and still says what it was read from; a
// small one stays itself.
func TestSmaller(t *testing.T) {
	p, err := OpenFile(t.Context(), "../../testdata/photos/panel.png", Limits{Lean: true})
	require.NoError(t, err)
	assert.Same(t, p, p.Smaller(p.W*p.H))
	s := p.Smaller(p.W * p.H / 4)
	pic, factor := p.Reduced(p.W * p.H / 4)
	assert.Equal(t, 2, factor)
	assert.Equal(t, []int{p.W / 2, p.H / 2}, []int{s.W, s.H})
	assert.Equal(t, pic, s.Linear())
	assert.Equal(t, []string{p.Name, p.Format, p.Profile, p.SHA256}, []string{s.Name, s.Format, s.Profile, s.SHA256})
	assert.Equal(t, p.Notes, s.Notes)
	assert.Equal(t, s.W, s.RGBA().Rect.Dx())
}

// Every pixel of the photo counts with the part of it that lies in a square: 5 px on
// 4 are squares of 1.25 px, of which the second takes three quarters of one px and a
// half of the next.
func TestSmallerByAFraction(t *testing.T) {
	p := &Photo{W: 5, H: 5, Picture: colormath.NewPicture(5, 5)}
	for y := range 5 {
		for x := range 5 {
			p.Picture.Set(x, y, colormath.LinearRGB{R: float64(x), G: float64(y), B: 1})
		}
	}
	s := p.Smaller(16)
	require.Equal(t, []int{4, 4}, []int{s.W, s.H})
	for i, want := range []float64{(0 + 1*.25) / 1.25, (1*.75 + 2*.5) / 1.25, (2*.5 + 3*.75) / 1.25, (3*.25 + 4) / 1.25} {
		assert.InDelta(t, want, s.Picture.At(i, 2).R, 1e-6)
		assert.InDelta(t, want, s.Picture.At(2, i).G, 1e-6)
		assert.InDelta(t, 1, s.Picture.At(i, i).B, 1e-6)
	}
}

// Sizes use what is allowed, and never more; a strip keeps at least a row.
func TestSmallerSize(t *testing.T) {
	for _, c := range []struct{ w, h int }{{1500, 1334}, {2000, 1001}, {4000, 3000}, {3000, 4000}, {8000, 6000}, {30000, 4000}} {
		w, h := SmallerSize(c.w, c.h, 2e6)
		assert.LessOrEqual(t, w*h, int(2e6))
		assert.Greater(t, w*h, int(1.99e6), "%d × %d", c.w, c.h)
	}
	w, h := SmallerSize(1200, 966, 2e6)
	assert.Equal(t, []int{1200, 966}, []int{w, h})
	w, h = SmallerSize(30000, 100, 1000)
	assert.LessOrEqual(t, w*h, 1000)
	assert.GreaterOrEqual(t, h, 1)
}
