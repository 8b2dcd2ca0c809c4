package photo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
