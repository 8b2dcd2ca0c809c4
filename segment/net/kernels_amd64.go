//go:build !purego

package net

// bestKernels picks the assembly loops where the processor has them: AVX2 and
// fused multiply-add, which is every x86 processor since about 2015.
func bestKernels() kernels {
	if !hasAVX2() {
		return plainKernels()
	}
	return kernels{name: "AVX2", mix: mixAVX2, depthwise: depthwiseAVX2}
}

//go:noescape
func mix4(dst *float32, dstStride int, src *float32, srcStride int, inputs int, w, bias *float32, n int, how put)

//go:noescape
func row1(dst, a, b, c *float32, t *taps, n int)

//go:noescape
func row2(dst, a, b, c *float32, t *taps, n int)

func cpuid(leaf, sub uint32) (a, b, c, d uint32)

func xgetbv() uint32

// mixAVX2 is mixPlain eight pixels at a time. The last, incomplete eight go
// through acc: their arithmetic is that of all others, so where a piece ends
// does not show in the result.
func mixAVX2(m *mixer, o int, dst, src view, n int, how put, acc []float32) {
	w, bias := &m.w[o*m.in], &m.bias[o]
	whole := n &^ 7
	if whole > 0 {
		_, _ = dst.v[3*dst.stride+whole-1], src.v[(m.in-1)*src.stride+whole-1]
		mix4(&dst.v[0], dst.stride, &src.v[0], src.stride, m.in, w, bias, whole, how)
	}
	if whole == n {
		return
	}
	_, _ = acc[31], src.v[(m.in-1)*src.stride+whole+7]
	for i := range 4 {
		copy(acc[8*i:8*i+8], dst.v[i*dst.stride+whole:i*dst.stride+n])
	}
	mix4(&acc[0], 8, &src.v[whole], src.stride, m.in, w, bias, 8, how)
	for i := range 4 {
		copy(dst.v[i*dst.stride+whole:i*dst.stride+n], acc[8*i:])
	}
}

func depthwiseAVX2(dst []float32, rows [3][]float32, t *taps, stride int) {
	inner := inside(dst, rows, stride)
	n := len(inner)
	if n < 8 {
		depthwisePlain(dst, rows, t, stride)
		return
	}
	for _, row := range rows {
		_ = row[stride-1+stride*(n-1)+2]
	}
	if stride == 1 {
		row1(&inner[0], &rows[0][0], &rows[1][0], &rows[2][0], t, n)
	} else {
		row2(&inner[0], &rows[0][1], &rows[1][1], &rows[2][1], t, n)
	}
	depthwiseEdges(dst, rows, t, stride)
}

// hasAVX2 asks the processor, and the system whether it saves the wide
// registers (Intel 64 and IA-32 Architectures Software Developer's Manual,
// volume 1, 14.5.3 and 14.7.1).
func hasAVX2() bool {
	const fma, osxsave, avx, avx2, xmmYmm = 1 << 12, 1 << 27, 1 << 28, 1 << 5, 6
	if last, _, _, _ := cpuid(0, 0); last < 7 {
		return false
	}
	_, _, c, _ := cpuid(1, 0)
	if need := uint32(fma | osxsave | avx); c&need != need || xgetbv()&xmmYmm != xmmYmm {
		return false
	}
	_, b, _, _ := cpuid(7, 0)
	return b&avx2 != 0
}
