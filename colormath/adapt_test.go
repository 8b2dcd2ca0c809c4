package colormath

import (
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/stretchr/testify/assert"
)

// Oracle: bradford.csv; the first two rows are the ICC pair, the third is a
// test value of another colour library. Eight digits are given, 1e-7 asked.
func TestBradford(t *testing.T) {
	for _, r := range reference(t, "bradford.csv", 3) {
		src := XYZ{r.num(t, "Xs"), r.num(t, "Ys"), r.num(t, "Zs")}
		dst := XYZ{r.num(t, "Xd"), r.num(t, "Yd"), r.num(t, "Zd")}
		want := Matrix{
			{r.num(t, "m00"), r.num(t, "m01"), r.num(t, "m02")},
			{r.num(t, "m10"), r.num(t, "m11"), r.num(t, "m12")},
			{r.num(t, "m20"), r.num(t, "m21"), r.num(t, "m22")},
		}
		assert.Less(t, matrixDistance(want, Bradford(src, dst)), 1e-7, r["case"])
		white := src.Adapt(src, dst)
		assert.InDelta(t, dst.X, white.X, 1e-14, "the white must land on the white")
		assert.InDelta(t, dst.Y, white.Y, 1e-14)
		assert.InDelta(t, dst.Z, white.Z, 1e-14)
	}
}

// Second opinion. go-colorful's D50 is the one of the chromaticity, not the ICC
// one, so the comparison is made with that white; eight digits are in its
// source.
func TestBradfordAgainstColorful(t *testing.T) {
	chromaticD50 := XYZ{0.96429568, 1, 0.82510460}
	for _, c := range []XYZ{{0.3, 0.4, 0.2}, {0.95, 1, 1.09}, {0.1, 0.05, 0.4}} {
		got := c.Adapt(D65, chromaticD50)
		x, y, z := colorful.D65ToD50(c.X, c.Y, c.Z)
		assert.InDelta(t, x, got.X, 1e-6)
		assert.InDelta(t, y, got.Y, 1e-6)
		assert.InDelta(t, z, got.Z, 1e-6)
	}
}
