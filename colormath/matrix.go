package colormath

// Matrix is a 3×3 matrix, rows first, that multiplies a column from the left.
type Matrix [3][3]float64

// Diagonal returns the matrix with a, b, c on its diagonal and 0 elsewhere.
func Diagonal(a, b, c float64) Matrix { return Matrix{{a, 0, 0}, {0, b, 0}, {0, 0, c}} }

// Apply returns m times the column a, b, c. It takes and gives plain numbers
// because the matrix itself does not know which spaces it joins.
func (m *Matrix) Apply(a, b, c float64) (x, y, z float64) {
	return m[0][0]*a + m[0][1]*b + m[0][2]*c,
		m[1][0]*a + m[1][1]*b + m[1][2]*c,
		m[2][0]*a + m[2][1]*b + m[2][2]*c
}

// Times returns m·n: n works first, then m.
func (m Matrix) Times(n Matrix) Matrix {
	var p Matrix
	for i := range 3 {
		for j := range 3 {
			p[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return p
}

// Inverse returns the matrix that undoes m, by cofactors. A matrix that cannot
// be undone gives infinite or NaN entries; none made in this package is one.
func (m Matrix) Inverse() Matrix {
	var c Matrix
	for i := range 3 {
		for j := range 3 {
			// The cyclic cofactor carries its own sign.
			r, s := (i+1)%3, (i+2)%3
			p, q := (j+1)%3, (j+2)%3
			c[j][i] = m[r][p]*m[s][q] - m[r][q]*m[s][p]
		}
	}
	det := m[0][0]*c[0][0] + m[0][1]*c[1][0] + m[0][2]*c[2][0]
	for i := range 3 {
		for j := range 3 {
			c[i][j] /= det
		}
	}
	return c
}
