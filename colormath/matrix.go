package colormath

// Matrix is a 3×3 matrix, rows first, that multiplies a column from the left.
type Matrix [3][3]float64

// Triple is what a matrix gives back, before it is told which space it is in:
// convert it to [LinearRGB], [XYZ] or [Lab].
type Triple = struct{ A, B, C float64 }

// Diagonal returns the matrix with a, b, c on its diagonal and 0 elsewhere.
func Diagonal(a, b, c float64) Matrix { return Matrix{{a, 0, 0}, {0, b, 0}, {0, 0, c}} }
