package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// The two commands of the first section are promised to work from a clone.
func TestReadmeNamesTheTwoCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	assert.Contains(t, string(readme), "```\ngo run ./cmd/gapshade demo\ngo test ./...\n```")
}
