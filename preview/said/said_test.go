package said_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/colormath"
	"gapshade/preview/grout"
	"gapshade/preview/said"
)

// Words as flags leave out what a plain run does anyway. (That the command reads the
// flags back is held by its own test of the page's zip.)
func TestArgs(t *testing.T) {
	plain := said.Words{Bed: "auto", SecondBed: "auto", Aim: "balance", Own: grout.Palette(), Job: said.Job{Kind: "auto", Units: "metric"}}
	assert.Empty(t, plain.Args("shades.csv"))
	w := said.Words{Size: "3x4in", Bed: "white", Aim: "blend", Straighten: true, Title: "A B", Own: grout.Palette()[:2], Job: said.Job{Place: "wet", Grouted: true}}
	assert.Equal(t, []string{"--size", "3x4in", "--bed", "white", "--straighten", "--shades", "near-white,light-cool", "--aim", "blend",
		"--title", "A B", "--place", "wet", "--grouted"}, w.Args("shades.csv"))
	assert.False(t, w.NeedsFile())
	w.Own = []grout.Shade{{ID: "near-white", Depth: "light", Cast: "true", Lab: colormath.Lab{L: 80}}} // no longer the built-in one
	assert.True(t, w.NeedsFile())
	assert.Contains(t, w.Args("shades.csv"), "shades.csv")
}

// Shades by value win over words.
func TestOwnShades(t *testing.T) {
	w := said.Words{Aim: "balance", Shades: "near-black", Own: grout.Palette()[:1]}
	s, err := w.Settings()
	require.NoError(t, err)
	assert.Equal(t, grout.Palette()[:1], s.Shades)
	w.Own = nil
	s, err = w.Settings()
	require.NoError(t, err)
	assert.Equal(t, "near-black", s.Shades[0].ID)
}
