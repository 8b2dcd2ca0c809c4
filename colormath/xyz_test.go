package colormath

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The matrices printed in xyz.go, derived again from the four chromaticities
// of IEC 61966-2-1 and, for the second pair, Bradford to the ICC white.
func ExampleRGBToXYZ() {
	toXYZ := RGBToXYZ(Chromaticity{.64, .33}, Chromaticity{.30, .60}, Chromaticity{.15, .06}, D65)
	toD50 := Bradford(D65, D50ICC).Times(toXYZ)
	for _, m := range []Matrix{toXYZ, toXYZ.Inverse(), toD50, toD50.Inverse()} {
		for _, r := range m {
			fmt.Printf("%13.10f %13.10f %13.10f\n", r[0], r[1], r[2])
		}
		fmt.Println()
	}
	// Output:
	//  0.4123907993  0.3575843394  0.1804807884
	//  0.2126390059  0.7151686788  0.0721923154
	//  0.0193308187  0.1191947798  0.9505321522
	//
	//  3.2409699419 -1.5373831776 -0.4986107603
	// -0.9692436363  1.8759675015  0.0415550574
	//  0.0556300797 -0.2039769589  1.0569715142
	//
	//  0.4360412516  0.3851129108  0.1430458376
	//  0.2224845402  0.7169050786  0.0606103812
	//  0.0139201875  0.0970672387  0.7139125738
	//
	//  3.1341863642 -1.6172089590 -0.4906940640
	// -0.9787485042  1.9161300968  0.0334333992
	//  0.0719639278 -0.2289938735  1.4057537329
}

// The printed matrices against the derivation, to the last digits of a float64:
// five steps of rounding stay below 2e-15 per unit.
func TestPrintedMatricesAreTheDerivedOnes(t *testing.T) {
	to65 := RGBToXYZ(Chromaticity{.64, .33}, Chromaticity{.30, .60}, Chromaticity{.15, .06}, D65)
	to50 := Bradford(D65, D50ICC).Times(to65)
	assert.Less(t, matrixDistance(to65, rgbToXYZ65), 1e-14)
	assert.Less(t, matrixDistance(to65.Inverse(), xyz65ToRGB), 1e-14)
	assert.Less(t, matrixDistance(to50, rgbToXYZ50), 1e-14)
	assert.Less(t, matrixDistance(to50.Inverse(), xyz50ToRGB), 1e-14)
}

// Oracle: rgb_spaces.csv, derived elsewhere from the published primaries of
// sRGB, Display P3 and Adobe RGB (1998). Its XYZ matrices have ten digits
// (1e-9 asked), its ICC colorants seven (1e-7).
func TestRGBSpaces(t *testing.T) {
	for _, r := range reference(t, "rgb_spaces.csv", 3) {
		xy := func(c string) Chromaticity { return Chromaticity{r.num(t, "x"+c), r.num(t, "y"+c)} }
		w := xy("W")
		white := XYZ{w.X / w.Y, 1, (1 - w.X - w.Y) / w.Y}
		got := RGBToXYZ(xy("R"), xy("G"), xy("B"), white)
		assert.Less(t, matrixDistance(got, spaceMatrix(t, r, "toXYZ_D65_", "XYZ", "RGB")), 1e-9, r["space"])
		assert.Less(t, matrixDistance(got.Inverse(), spaceMatrix(t, r, "fromXYZ_D65_", "RGB", "XYZ")), 1e-9, r["space"])
		icc := Bradford(white, D50ICC).Times(got)
		assert.Less(t, matrixDistance(icc, spaceMatrix(t, r, "ICC_D50_", "XYZ", "RGB")), 1e-7, r["space"])
	}
}

func spaceMatrix(t *testing.T, r row, prefix, rows, columns string) Matrix {
	t.Helper()
	var m Matrix
	for i := range 3 {
		for j := range 3 {
			m[i][j] = r.num(t, prefix+rows[i:i+1]+columns[j:j+1])
		}
	}
	return m
}

func TestWhiteIsOneOneOne(t *testing.T) {
	c := LinearRGB{1, 1, 1}.XYZ()
	assert.InDelta(t, D65.X, c.X, 1e-14)
	assert.InDelta(t, D65.Y, c.Y, 1e-14)
	assert.InDelta(t, D65.Z, c.Z, 1e-14)
	back := D65.LinearRGB()
	assert.True(t, back.InGamut(1e-14), "%v", back)
	assert.InDelta(t, 1, back.Luminance(), 1e-14)
	assert.False(t, LinearRGB{1.1, 0, 0}.InGamut(0.05))
	assert.False(t, LinearRGB{0, -0.1, 0}.InGamut(0.05))
}

// A matrix with small whole numbers can be inverted on paper.
func TestInverseByHand(t *testing.T) {
	m := Matrix{{2, 0, 1}, {0, 1, 0}, {1, 0, 1}}
	assert.Equal(t, Matrix{{1, 0, -1}, {0, 1, 0}, {-1, 0, 2}}, m.Inverse())
	assert.Equal(t, Diagonal(1, 1, 1), m.Times(m.Inverse()))
}
