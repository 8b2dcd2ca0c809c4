package colormath

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// row is one line of a reference file, by column name.
type row map[string]string

// num returns a column as a number; a blank or unknown column fails the test,
// so that a misspelt name cannot pass as zero.
func (r row) num(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %q", column)
	return v
}

// lab reads three columns as a Lab.
func (r row) lab(t *testing.T, l, a, b string) Lab {
	t.Helper()
	return Lab{r.num(t, l), r.num(t, a), r.num(t, b)}
}

// reference reads a table of testdata/reference; testdata/SOURCES.md says where
// each comes from. want is the number of lines it must have, so that a cut file
// cannot make a test pass by testing nothing.
func reference(t *testing.T, name string, want int) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "reference", name))
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, want+1, "%s", name)
	rows := make([]row, want)
	for i, line := range lines[1:] {
		rows[i] = row{}
		for j, v := range line {
			rows[i][lines[0][j]] = v
		}
	}
	return rows
}

// labsClose asserts each coordinate within tolerance.
func labsClose(t *testing.T, want, got Lab, tolerance float64, what any) {
	t.Helper()
	assert.InDelta(t, want.L, got.L, tolerance, "L* of %v", what)
	assert.InDelta(t, want.A, got.A, tolerance, "a* of %v", what)
	assert.InDelta(t, want.B, got.B, tolerance, "b* of %v", what)
}

// matrixDistance is the largest difference of two entries.
func matrixDistance(m, n Matrix) float64 {
	worst := 0.0
	for i := range 3 {
		for j := range 3 {
			worst = math.Max(worst, math.Abs(m[i][j]-n[i][j]))
		}
	}
	return worst
}
