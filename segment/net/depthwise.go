package net

// taps are the nine weights of a depthwise plane, row by row, and its bias.
type taps [10]float32

// depthwisePlain makes one row of a depthwise plane from the three rows around
// it, with the ReLU. Output x looks at inputs stride·x-1 … stride·x+1, zero
// outside; len(dst) is the input length over stride, rounded up.
func depthwisePlain(dst []float32, rows [3][]float32, t *taps, stride int) {
	depthwiseInner(inside(dst, rows, stride), rows, t, stride)
	depthwiseEdges(dst, rows, t, stride)
}

// inside returns the outputs that do not look outside the row: all but the
// first and, unless the row's length is even and the stride 2, the last.
func inside(dst []float32, rows [3][]float32, stride int) []float32 {
	return dst[1:max(1, (len(rows[0])-2)/stride+1)]
}

// depthwiseEdges makes the others.
func depthwiseEdges(dst []float32, rows [3][]float32, t *taps, stride int) {
	dst[0] = depthwiseAt(rows, t, 0)
	if last := len(dst) - 1; stride*last+1 >= len(rows[0]) {
		dst[last] = depthwiseAt(rows, t, stride*last)
	}
}

// depthwiseAt makes the output around input x, where a neighbour may be missing.
func depthwiseAt(rows [3][]float32, t *taps, x int) float32 {
	sum := t[9]
	for y, row := range rows {
		if x > 0 {
			sum += t[3*y] * row[x-1]
		}
		sum += t[3*y+1] * row[x]
		if x+1 < len(row) {
			sum += t[3*y+2] * row[x+1]
		}
	}
	return relu(sum)
}

// depthwiseInner makes outputs 1…len(dst), which lie wholly inside the row.
func depthwiseInner(dst []float32, rows [3][]float32, t *taps, stride int) {
	if len(dst) == 0 {
		return
	}
	if stride == 1 {
		depthwise1(dst, rows[0], rows[1], rows[2], t)
	} else {
		depthwise2(dst, rows[0][1:], rows[1][1:], rows[2][1:], t)
	}
}

// depthwise1 makes dst[j] from inputs j…j+2 of three rows. Counting from the
// last input lets the compiler drop all bounds checks.
//
//go:noinline
func depthwise1(dst, a, b, c []float32, t *taps) {
	n := len(dst) + 2
	a, b, c = a[:n], b[:n], c[:n]
	t0, t1, t2, t3, t4, t5, t6, t7, t8, bias := t[0], t[1], t[2], t[3], t[4], t[5], t[6], t[7], t[8], t[9]
	for j := 2; j < len(a) && j < len(b) && j < len(c) && j-2 < len(dst); j++ {
		dst[j-2] = relu(bias + t0*a[j-2] + t1*a[j-1] + t2*a[j] +
			t3*b[j-2] + t4*b[j-1] + t5*b[j] +
			t6*c[j-2] + t7*c[j-1] + t8*c[j])
	}
}

// depthwise2 makes dst[j] from inputs 2j…2j+2.
//
//go:noinline
func depthwise2(dst, a, b, c []float32, t *taps) {
	for j := range dst {
		a, b, c := a[2*j:2*j+3:2*j+3], b[2*j:2*j+3:2*j+3], c[2*j:2*j+3:2*j+3]
		dst[j] = relu(t[9] + t[0]*a[0] + t[1]*a[1] + t[2]*a[2] +
			t[3]*b[0] + t[4]*b[1] + t[5]*b[2] +
			t[6]*c[0] + t[7]*c[1] + t[8]*c[2])
	}
}
