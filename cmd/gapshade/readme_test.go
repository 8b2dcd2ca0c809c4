package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/contrast"
)

// The README's list of flags is what the command prints; run `gapshade preview
// --help` and copy it when this fails.
func TestReadmeListsTheFlags(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	var out bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"preview", "--help"}, &out, &out))
	help := out.String()
	flags := strings.TrimRight(help[strings.Index(help, "  --size"):], "\n")
	assert.Contains(t, string(readme), "```\n"+flags+"\n```")
	for line := range strings.Lines(help) {
		assert.LessOrEqual(t, len(strings.TrimRight(line, "\n")), 80, line)
	}
}

// So is the list of job's own flags; the others are those of preview's last
// group, word for word.
func TestReadmeListsTheJobFlags(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	var out, full bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"job", "--help"}, &out, &out))
	require.Zero(t, run(t.Context(), []string{"preview", "--help"}, &full, &full))
	help := out.String()
	shared, own := strings.Index(help, "  --thickness"), strings.Index(help, "  --title")
	assert.Contains(t, string(readme), "```\n"+help[strings.Index(help, "  --size"):shared]+strings.TrimRight(help[own:], "\n")+"\n```")
	assert.True(t, strings.HasSuffix(full.String(), help[shared:own]))
	for line := range strings.Lines(help) {
		assert.LessOrEqual(t, len(strings.TrimRight(line, "\n")), 80, line)
	}
}

// And those of the shades commands; their examples stand there too.
func TestReadmeListsTheShadesFlags(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for command, first := range map[string]string{"measure": "  --reference", "blend": "  --parts"} {
		var out bytes.Buffer
		require.Zero(t, run(t.Context(), []string{"shades", command, "--help"}, &out, &out))
		help := out.String()
		assert.Contains(t, string(readme), "```\n"+strings.TrimRight(help[strings.Index(help, first):], "\n")+"\n```", command)
		for line := range strings.Lines(help) {
			assert.LessOrEqual(t, len(strings.TrimRight(line, "\n")), 80, line)
		}
	}
}

// And those of the page, which also stand there with nothing left out.
func TestReadmeListsThePageFlags(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	var out bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"page", "--help"}, &out, &out))
	help := out.String()
	assert.Contains(t, string(readme), "```\n"+strings.TrimRight(help[strings.Index(help, "  --port"):], "\n")+"\n```")
	for line := range strings.Lines(help) {
		assert.LessOrEqual(t, len(strings.TrimRight(line, "\n")), 80, line)
	}
}

// The README's table of weights is the one in use.
func TestReadmeTellsTheWeights(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	outline, balance, blend := contrast.Weights("outline"), contrast.Weights("balance"), contrast.Weights("blend")
	for _, w := range [][3]float64{
		{outline.Tiles, balance.Tiles, blend.Tiles},
		{outline.WorstCluster, balance.WorstCluster, blend.WorstCluster},
		{outline.Outlines, balance.Outlines, blend.Outlines},
		{outline.QuietGrid, balance.QuietGrid, blend.QuietGrid},
		{outline.Steady, balance.Steady, blend.Steady},
	} {
		row := ""
		for _, v := range w {
			if v == 0 {
				row += "| – "
			} else {
				row += fmt.Sprintf("| %.0f %% ", 100*v)
			}
		}
		assert.Contains(t, string(readme), row+"|\n")
	}
}

// The two commands of the first section are promised to work from a clone.
func TestReadmeNamesTheTwoCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	assert.Contains(t, string(readme), "```\ngo run ./cmd/gapshade demo\ngo test ./...\n```")
}
