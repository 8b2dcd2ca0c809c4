package colormath

// bradford takes XYZ to the sharpened cone responses in which the white points
// are divided: Lam 1985, as printed in ICC.1:2022 Annex E.
var bradford = Matrix{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// Bradford returns the matrix that takes XYZ under the white src to the XYZ
// that looks alike under the white dst (linear Bradford, ICC.1:2022 Annex E):
// B⁻¹ · diag(B·dst / B·src) · B. Both whites need positive cone responses,
// which any real light has. The blue channel's exponent of the original method
// is left out, as in every ICC profile.
func Bradford(src, dst XYZ) Matrix {
	sl, sm, ss := bradford.Apply(src.X, src.Y, src.Z)
	dl, dm, ds := bradford.Apply(dst.X, dst.Y, dst.Z)
	return bradford.Inverse().Times(Diagonal(dl/sl, dm/sm, ds/ss)).Times(bradford)
}

// Adapt returns the colour as it would look alike under the white dst, given
// that it was measured under src; see [Bradford].
func (c XYZ) Adapt(src, dst XYZ) XYZ {
	m := Bradford(src, dst)
	x, y, z := m.Apply(c.X, c.Y, c.Z)
	return XYZ{x, y, z}
}
