#include "textflag.h"

// Loops of lanes.go over four angles at once (AVX2). Each sum and product is rounded as Go rounds it, in the same sequence.

// func addFour(to *float64, n int, f *[4]float64, r0, r1, r2, r3 *float64)
TEXT ·addFour(SB), NOSPLIT, $0-56
	MOVQ         to+0(FP), DI
	MOVQ         n+8(FP), CX
	MOVQ         f+16(FP), AX
	MOVQ         r0+24(FP), R8
	MOVQ         r1+32(FP), R9
	MOVQ         r2+40(FP), R10
	MOVQ         r3+48(FP), R11
	VBROADCASTSD 0(AX), Y0
	VBROADCASTSD 8(AX), Y1
	VBROADCASTSD 16(AX), Y2
	VBROADCASTSD 24(AX), Y3
	XORQ         BX, BX

four:
	VMULPD  (R8)(BX*8), Y0, Y4
	VMULPD  (R9)(BX*8), Y1, Y5
	VADDPD  Y5, Y4, Y4
	VMULPD  (R10)(BX*8), Y2, Y6
	VADDPD  Y6, Y4, Y4
	VMULPD  (R11)(BX*8), Y3, Y7
	VADDPD  Y7, Y4, Y4
	VADDPD  (DI)(BX*8), Y4, Y4
	VMOVUPD Y4, (DI)(BX*8)
	ADDQ    $4, BX
	CMPQ    BX, CX
	JLT     four
	VZEROUPPER
	RET

// func addOne(to *float64, n int, f float64, r *float64)
TEXT ·addOne(SB), NOSPLIT, $0-32
	MOVQ         to+0(FP), DI
	MOVQ         n+8(FP), CX
	VBROADCASTSD f+16(FP), Y0
	MOVQ         r+24(FP), R8
	XORQ         BX, BX

one:
	VMULPD  (R8)(BX*8), Y0, Y4
	VADDPD  (DI)(BX*8), Y4, Y4
	VMOVUPD Y4, (DI)(BX*8)
	ADDQ    $4, BX
	CMPQ    BX, CX
	JLT     one
	VZEROUPPER
	RET

// func spreadFour(up, past, down, end *float64, n int, cos, sin *float64)
TEXT ·spreadFour(SB), NOSPLIT, $0-56
	MOVQ up+0(FP), R8
	MOVQ past+8(FP), R9
	MOVQ down+16(FP), R10
	MOVQ end+24(FP), R11
	MOVQ n+32(FP), CX
	MOVQ cos+40(FP), SI
	MOVQ sin+48(FP), DI
	XORQ BX, BX

spread:
	VMOVUPD (DI)(BX*8), Y0
	VMOVUPD (SI)(BX*8), Y1
	VADDPD  Y1, Y0, Y2
	VSUBPD  Y1, Y0, Y3
	VMOVUPD (R8)(BX*8), Y4
	VADDPD  Y2, Y4, Y5
	VSUBPD  Y2, Y4, Y6
	VMOVUPD Y5, (R8)(BX*8)
	VMOVUPD Y6, (R9)(BX*8)
	VPERMPD $0x1B, Y3, Y3
	VMOVUPD -24(R10), Y4
	VADDPD  Y3, Y4, Y5
	VSUBPD  Y3, Y4, Y6
	VMOVUPD Y5, -24(R10)
	VMOVUPD Y6, -24(R11)
	SUBQ    $32, R10
	SUBQ    $32, R11
	ADDQ    $4, BX
	CMPQ    BX, CX
	JLT     spread
	VZEROUPPER
	RET
