package preview

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// That the joints are grouted already is a word about the job: on a bench it changes the
// note at once, and what is drawn is what Make draws. No gap and no rank changes. (14)
func TestGroutedOnABench(t *testing.T) {
	ph, s := drawnPhoto(t), sizedSettings(t)
	b, err := Prepare(t.Context(), ph, s)
	require.NoError(t, err)
	fresh, err := b.Proof(t.Context())
	require.NoError(t, err)
	assert.NotContains(t, notesBut(fresh), "grouted")

	s.Job.Grouted = true
	require.NoError(t, b.Try(s))
	old, err := b.Proof(t.Context())
	require.NoError(t, err)
	made, err := Make(t.Context(), ph, s)
	require.NoError(t, err)
	assert.Contains(t, notesBut(old), "grouted")
	assert.Equal(t, made.Notes, old.Notes)
	assert.Equal(t, made.Draw(0).Pix, old.Draw(0).Pix)
	assert.Equal(t, fresh.Map.Gap, old.Map.Gap)
	for i := range fresh.Trials {
		assert.Equal(t, fresh.Trials[i].Shade, old.Trials[i].Shade)
		assert.Equal(t, fresh.Trials[i].Score, old.Trials[i].Score)
	}
}
