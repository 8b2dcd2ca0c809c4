//go:build !purego

#include "textflag.h"

// One input plane into four outputs of 24 pixels: Y0-Y2, Y3-Y5, Y6-Y8, Y9-Y11
// are the sums, R12 the input, R13 the 4×4 block of weights, at its column off.
// Twelve sums, because a multiply-add takes four cycles and two start in each:
// fewer would wait for each other. All sixteen registers are in use.
#define STEP24(off) \
	VMOVUPS      (R12), Y12        \
	VMOVUPS      32(R12), Y13      \
	VMOVUPS      64(R12), Y14      \
	VBROADCASTSS (off+0)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y0      \
	VFMADD231PS  Y13, Y15, Y1      \
	VFMADD231PS  Y14, Y15, Y2      \
	VBROADCASTSS (off+16)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y3      \
	VFMADD231PS  Y13, Y15, Y4      \
	VFMADD231PS  Y14, Y15, Y5      \
	VBROADCASTSS (off+32)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y6      \
	VFMADD231PS  Y13, Y15, Y7      \
	VFMADD231PS  Y14, Y15, Y8      \
	VBROADCASTSS (off+48)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y9      \
	VFMADD231PS  Y13, Y15, Y10     \
	VFMADD231PS  Y14, Y15, Y11     \
	ADDQ         R9, R12

// The same for 8 pixels: Y0, Y3, Y6, Y9.
#define STEP8(off) \
	VMOVUPS      (R12), Y12        \
	VBROADCASTSS (off+0)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y0      \
	VBROADCASTSS (off+16)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y3      \
	VBROADCASTSS (off+32)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y6      \
	VBROADCASTSS (off+48)(R13), Y15 \
	VFMADD231PS  Y12, Y15, Y9      \
	ADDQ         R9, R12

// Every sum starts from its bias; inputs and weights from their first.
#define BIASES \
	VBROADCASTSS (R10), Y0         \
	VBROADCASTSS 4(R10), Y3        \
	VBROADCASTSS 8(R10), Y6        \
	VBROADCASTSS 12(R10), Y9       \
	MOVQ         SI, R12           \
	MOVQ         BX, R13           \
	MOVQ         DX, AX

// The ReLU of three registers; Y15 is zero by then.
#define RELU3(a, b, c) \
	VMAXPS Y15, a, a \
	VMAXPS Y15, b, b \
	VMAXPS Y15, c, c

// What dst holds is added to the sums, or the sums stored, one plane at a time.
#define ADD24(a, b, c) \
	VADDPS (R12), a, a   \
	VADDPS 32(R12), b, b \
	VADDPS 64(R12), c, c \
	ADDQ   R8, R12

#define STORE24(a, b, c) \
	VMOVUPS a, (R12)   \
	VMOVUPS b, 32(R12) \
	VMOVUPS c, 64(R12) \
	ADDQ    R8, R12

#define ADD8(a) \
	VADDPS (R12), a, a \
	ADDQ   R8, R12

#define STORE8(a) \
	VMOVUPS a, (R12) \
	ADDQ    R8, R12

// Four output planes from all input planes. Strides count floats, inputs is a
// multiple of 4, n is rounded down to a multiple of 8. how is a put: 0 raw,
// 1 ReLU, 2 ReLU and added to dst, 3 added to dst.
//
// func mix4(dst *float32, dstStride int, src *float32, srcStride int, inputs int, w, bias *float32, n int, how put)
TEXT ·mix4(SB), NOSPLIT, $0-72
	MOVQ dst+0(FP), DI
	MOVQ dstStride+8(FP), R8
	MOVQ src+16(FP), SI
	MOVQ srcStride+24(FP), R9
	MOVQ inputs+32(FP), DX
	MOVQ w+40(FP), BX
	MOVQ bias+48(FP), R10
	MOVQ n+56(FP), CX
	MOVQ how+64(FP), R11
	SHLQ $2, R8
	SHLQ $2, R9

loop24:
	CMPQ    CX, $24
	JLT     loop8
	BIASES
	VMOVAPS Y0, Y1
	VMOVAPS Y0, Y2
	VMOVAPS Y3, Y4
	VMOVAPS Y3, Y5
	VMOVAPS Y6, Y7
	VMOVAPS Y6, Y8
	VMOVAPS Y9, Y10
	VMOVAPS Y9, Y11

sum24:
	STEP24(0)
	STEP24(4)
	STEP24(8)
	STEP24(12)
	ADDQ $64, R13
	SUBQ $4, AX
	JNZ  sum24

	CMPQ   R11, $0
	JEQ    store24
	CMPQ   R11, $3
	JEQ    add24
	VXORPS Y15, Y15, Y15
	RELU3(Y0, Y1, Y2)
	RELU3(Y3, Y4, Y5)
	RELU3(Y6, Y7, Y8)
	RELU3(Y9, Y10, Y11)
	CMPQ   R11, $2
	JNE    store24

add24:
	MOVQ   DI, R12
	ADD24(Y0, Y1, Y2)
	ADD24(Y3, Y4, Y5)
	ADD24(Y6, Y7, Y8)
	ADD24(Y9, Y10, Y11)

store24:
	MOVQ DI, R12
	STORE24(Y0, Y1, Y2)
	STORE24(Y3, Y4, Y5)
	STORE24(Y6, Y7, Y8)
	STORE24(Y9, Y10, Y11)
	ADDQ $96, SI
	ADDQ $96, DI
	SUBQ $24, CX
	JMP  loop24

	// The same once more for what is left, eight pixels at a time. Each lane
	// sees the same operations in the same order as above.
loop8:
	CMPQ CX, $8
	JLT  done
	BIASES

sum8:
	STEP8(0)
	STEP8(4)
	STEP8(8)
	STEP8(12)
	ADDQ $64, R13
	SUBQ $4, AX
	JNZ  sum8

	CMPQ   R11, $0
	JEQ    store8
	CMPQ   R11, $3
	JEQ    add8
	VXORPS Y15, Y15, Y15
	RELU3(Y0, Y3, Y6)
	VMAXPS Y15, Y9, Y9
	CMPQ   R11, $2
	JNE    store8

add8:
	MOVQ   DI, R12
	ADD8(Y0)
	ADD8(Y3)
	ADD8(Y6)
	ADD8(Y9)

store8:
	MOVQ DI, R12
	STORE8(Y0)
	STORE8(Y3)
	STORE8(Y6)
	STORE8(Y9)
	ADDQ $32, SI
	ADDQ $32, DI
	SUBQ $8, CX
	JMP  loop8

done:
	VZEROUPPER
	RET

// Weights of a depthwise plane to Y0-Y8, its bias to Y9, zero to Y10.
#define TAPS \
	VBROADCASTSS (BX), Y0   \
	VBROADCASTSS 4(BX), Y1  \
	VBROADCASTSS 8(BX), Y2  \
	VBROADCASTSS 12(BX), Y3 \
	VBROADCASTSS 16(BX), Y4 \
	VBROADCASTSS 20(BX), Y5 \
	VBROADCASTSS 24(BX), Y6 \
	VBROADCASTSS 28(BX), Y7 \
	VBROADCASTSS 32(BX), Y8 \
	VBROADCASTSS 36(BX), Y9 \
	VXORPS       Y10, Y10, Y10

// func row1(dst, a, b, c *float32, t *taps, n int)
// The last eight outputs may overlap the eight before them: dst is never a
// source. n is at least 8. The row after c is asked for early, as the next call
// reads it and the processor does not see that coming (an eighth of the time of
// a whole run; beyond the planes a prefetch does nothing).
TEXT ·row1(SB), NOSPLIT, $0-48
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), R8
	MOVQ b+16(FP), R9
	MOVQ c+24(FP), R10
	MOVQ t+32(FP), BX
	MOVQ n+40(FP), CX
	TAPS
	LEAQ 8(R10)(CX*4), R11
	SUBQ $8, CX
	XORQ AX, AX

	// CX is where the last eight begin, R11 the row after c.
row1loop:
	PREFETCHT0  (R11)(AX*4)
	VMOVAPS     Y9, Y11
	VFMADD231PS (R8)(AX*4), Y0, Y11
	VFMADD231PS 4(R8)(AX*4), Y1, Y11
	VFMADD231PS 8(R8)(AX*4), Y2, Y11
	VFMADD231PS (R9)(AX*4), Y3, Y11
	VFMADD231PS 4(R9)(AX*4), Y4, Y11
	VFMADD231PS 8(R9)(AX*4), Y5, Y11
	VFMADD231PS (R10)(AX*4), Y6, Y11
	VFMADD231PS 4(R10)(AX*4), Y7, Y11
	VFMADD231PS 8(R10)(AX*4), Y8, Y11
	VMAXPS      Y10, Y11, Y11
	VMOVUPS     Y11, (DI)(AX*4)
	CMPQ        AX, CX
	JEQ         row1done
	ADDQ        $8, AX
	CMPQ        AX, CX
	JLE         row1loop
	MOVQ        CX, AX
	JMP         row1loop

row1done:
	VZEROUPPER
	RET

// Three taps of a row at stride 2. The shuffles pick every second value, but
// leave pairs in the order 0 2 1 3; one permutation at the end mends that.
#define ROW2(p, l, m, r) \
	VMOVUPS     (p)(DX*1), Y12        \
	VMOVUPS     32(p)(DX*1), Y13      \
	VMOVUPS     4(p)(DX*1), Y14       \
	VSHUFPS     $0x88, Y13, Y12, Y15  \
	VFMADD231PS Y15, l, Y11           \
	VSHUFPS     $0xDD, Y13, Y12, Y15  \
	VFMADD231PS Y15, m, Y11           \
	VMOVUPS     36(p)(DX*1), Y13      \
	VSHUFPS     $0xDD, Y13, Y14, Y15  \
	VFMADD231PS Y15, r, Y11

// row1 at stride 2: output j from inputs 2j…2j+2. It reads not a float past
// the last of them.
//
// func row2(dst, a, b, c *float32, t *taps, n int)
TEXT ·row2(SB), NOSPLIT, $0-48
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), R8
	MOVQ b+16(FP), R9
	MOVQ c+24(FP), R10
	MOVQ t+32(FP), BX
	MOVQ n+40(FP), CX
	TAPS
	SUBQ $8, CX
	XORQ AX, AX

row2loop:
	LEAQ    (AX*8), DX
	VMOVAPS Y9, Y11
	ROW2(R8, Y0, Y1, Y2)
	ROW2(R9, Y3, Y4, Y5)
	ROW2(R10, Y6, Y7, Y8)
	VMAXPS  Y10, Y11, Y11
	VPERMPD $0xD8, Y11, Y11
	VMOVUPS Y11, (DI)(AX*4)
	CMPQ    AX, CX
	JEQ     row2done
	ADDQ    $8, AX
	CMPQ    AX, CX
	JLE     row2loop
	MOVQ    CX, AX
	JMP     row2loop

row2done:
	VZEROUPPER
	RET

// The two questions of hasAVX2.
//
// func cpuid(leaf, sub uint32) (a, b, c, d uint32)
TEXT ·cpuid(SB), NOSPLIT, $0-24
	MOVL leaf+0(FP), AX
	MOVL sub+4(FP), CX
	CPUID
	MOVL AX, a+8(FP)
	MOVL BX, b+12(FP)
	MOVL CX, c+16(FP)
	MOVL DX, d+20(FP)
	RET

// func xgetbv() uint32
TEXT ·xgetbv(SB), NOSPLIT, $0-4
	XORL CX, CX
	XGETBV
	MOVL AX, ret+0(FP)
	RET
