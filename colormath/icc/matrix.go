package icc

// matrix is 3 × 3, row by row.
type matrix [9]float64

var identity = matrix{1, 0, 0, 0, 1, 0, 0, 0, 1}

// bradford is the cone response matrix of the Bradford transform
// (K. M. Lam, thesis, Bradford 1985; ICC.1:2022 annex E).
var bradford = matrix{
	0.8951, 0.2664, -0.1614,
	-0.7502, 1.7135, 0.0367,
	0.0389, -0.0685, 1.0296,
}

// whiteD50 is the white of the profile connection space, ICC.1:2022 §6.3.4.3.
var whiteD50 = [3]float64{0.9642, 1, 0.8249}

// chroma is a chromaticity x, y.
type chroma struct{ x, y float64 }

// xyz gives the colour at Y = 1.
func (c chroma) xyz() [3]float64 { return [3]float64{c.x / c.y, 1, (1 - c.x - c.y) / c.y} }

// times is the product with a column.
func (m matrix) times(v [3]float64) [3]float64 {
	return [3]float64{
		m[0]*v[0] + m[1]*v[1] + m[2]*v[2],
		m[3]*v[0] + m[4]*v[1] + m[5]*v[2],
		m[6]*v[0] + m[7]*v[1] + m[8]*v[2],
	}
}

// mul is the product m·n: n acts first.
func (m matrix) mul(n matrix) (out matrix) {
	for r := range 3 {
		for c := range 3 {
			out[3*r+c] = m[3*r]*n[c] + m[3*r+1]*n[3+c] + m[3*r+2]*n[6+c]
		}
	}
	return out
}

// inverse by cofactors; a singular matrix gives infinities, which settle
// refuses.
func (m matrix) inverse() matrix {
	c := matrix{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	det := m[0]*c[0] + m[1]*c[3] + m[2]*c[6]
	for i := range c {
		c[i] /= det
	}
	return c
}

// adapt is the Bradford transform from one white to another.
func adapt(from, to [3]float64) matrix {
	a, b := bradford.times(from), bradford.times(to)
	gain := matrix{b[0] / a[0], 0, 0, 0, b[1] / a[1], 0, 0, 0, b[2] / a[2]}
	return bradford.inverse().mul(gain).mul(bradford)
}

// primaries is the matrix from linear RGB to XYZ: the columns are the
// primaries, scaled so that R = G = B = 1 gives the white.
func primaries(r, g, b, white chroma) matrix {
	R, G, B := r.xyz(), g.xyz(), b.xyz()
	m := matrix{R[0], G[0], B[0], R[1], G[1], B[1], R[2], G[2], B[2]}
	s := m.inverse().times(white.xyz())
	for i := range m {
		m[i] *= s[i%3]
	}
	return m
}
