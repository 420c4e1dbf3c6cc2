#include "textflag.h"

// Loops of lanes.go over four values at once (AVX2). Each sum and product is rounded as Go rounds it, in the same sequence.

// func sumTerms(to *float64, n int, mean float64, t *term, count int)
// Sixteen values at a time, then four: for each, over all terms. A term is a factor and a slice, 32 bytes.
TEXT ·sumTerms(SB), NOSPLIT, $0-40
	MOVQ         to+0(FP), DI
	MOVQ         n+8(FP), CX
	VBROADCASTSD mean+16(FP), Y15
	MOVQ         t+24(FP), SI
	MOVQ         count+32(FP), DX
	XORQ         BX, BX

sixteen:
	LEAQ    16(BX), R9
	CMPQ    R9, CX
	JGT     four
	VMOVAPD Y15, Y0
	VMOVAPD Y15, Y1
	VMOVAPD Y15, Y2
	VMOVAPD Y15, Y3
	MOVQ    SI, R8
	MOVQ    DX, R10

term16:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y4
	VMULPD       (R11)(BX*8), Y4, Y5
	VADDPD       Y5, Y0, Y0
	VMULPD       32(R11)(BX*8), Y4, Y6
	VADDPD       Y6, Y1, Y1
	VMULPD       64(R11)(BX*8), Y4, Y7
	VADDPD       Y7, Y2, Y2
	VMULPD       96(R11)(BX*8), Y4, Y8
	VADDPD       Y8, Y3, Y3
	ADDQ         $32, R8
	DECQ         R10
	JNZ          term16
	VMOVUPD      Y0, (DI)(BX*8)
	VMOVUPD      Y1, 32(DI)(BX*8)
	VMOVUPD      Y2, 64(DI)(BX*8)
	VMOVUPD      Y3, 96(DI)(BX*8)
	MOVQ         R9, BX
	JMP          sixteen

four:
	CMPQ    BX, CX
	JGE     done
	VMOVAPD Y15, Y0
	MOVQ    SI, R8
	MOVQ    DX, R10

term4:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y4
	VMULPD       (R11)(BX*8), Y4, Y5
	VADDPD       Y5, Y0, Y0
	ADDQ         $32, R8
	DECQ         R10
	JNZ          term4
	VMOVUPD      Y0, (DI)(BX*8)
	ADDQ         $4, BX
	JMP          four

done:
	VZEROUPPER
	RET

// func reflectFour(up, down *float64, n int, cos, sin *float64)
TEXT ·reflectFour(SB), NOSPLIT, $0-40
	MOVQ up+0(FP), R8
	MOVQ down+8(FP), R9
	MOVQ n+16(FP), CX
	MOVQ cos+24(FP), SI
	MOVQ sin+32(FP), DI
	XORQ BX, BX

reflect:
	VMOVUPD (SI)(BX*8), Y0
	VMOVUPD (DI)(BX*8), Y1
	VADDPD  Y1, Y0, Y2
	VSUBPD  Y1, Y0, Y3
	VMOVUPD Y2, (R8)(BX*8)
	VPERMPD $0x1B, Y3, Y3
	VMOVUPD Y3, -24(R9)
	SUBQ    $32, R9
	ADDQ    $4, BX
	CMPQ    BX, CX
	JLT     reflect
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

// func doubleFour(to *float64, n, half int, steady, turning []Term)
// Sixteen values at a time, then four: for each, over all terms of both sorts.
TEXT ·doubleFour(SB), NOSPLIT, $0-72
	MOVQ to+0(FP), DI
	MOVQ n+8(FP), CX
	MOVQ half+16(FP), AX
	MOVQ steady_base+24(FP), SI
	MOVQ steady_len+32(FP), DX
	MOVQ turning_base+48(FP), R12
	MOVQ turning_len+56(FP), R13
	LEAQ (DI)(AX*8), R14
	SHLQ $4, AX
	XORQ BX, BX

sixteen:
	LEAQ   16(BX), R9
	CMPQ   R9, CX
	JGT    four
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	VXORPD Y4, Y4, Y4
	VXORPD Y5, Y5, Y5
	VXORPD Y6, Y6, Y6
	VXORPD Y7, Y7, Y7
	MOVQ   SI, R8
	MOVQ   DX, R10
	TESTQ  R10, R10
	JZ     turn16

steady16:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y8
	VMULPD       (R11)(BX*8), Y8, Y9
	VADDPD       Y9, Y0, Y0
	VMULPD       32(R11)(BX*8), Y8, Y10
	VADDPD       Y10, Y1, Y1
	VMULPD       64(R11)(BX*8), Y8, Y11
	VADDPD       Y11, Y2, Y2
	VMULPD       96(R11)(BX*8), Y8, Y12
	VADDPD       Y12, Y3, Y3
	ADDQ         $32, R8
	DECQ         R10
	JNZ          steady16

turn16:
	MOVQ  R12, R8
	MOVQ  R13, R10
	TESTQ R10, R10
	JZ    write16

turning16:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y8
	VMULPD       (R11)(BX*8), Y8, Y9
	VADDPD       Y9, Y4, Y4
	VMULPD       32(R11)(BX*8), Y8, Y10
	VADDPD       Y10, Y5, Y5
	VMULPD       64(R11)(BX*8), Y8, Y11
	VADDPD       Y11, Y6, Y6
	VMULPD       96(R11)(BX*8), Y8, Y12
	VADDPD       Y12, Y7, Y7
	ADDQ         $32, R8
	DECQ         R10
	JNZ          turning16

write16:
	LEAQ    (DI)(BX*8), R8
	LEAQ    (R14)(BX*8), R11
	VADDPD  Y4, Y0, Y8
	VSUBPD  Y4, Y0, Y0
	VADDPD  Y5, Y1, Y9
	VSUBPD  Y5, Y1, Y1
	VADDPD  Y6, Y2, Y10
	VSUBPD  Y6, Y2, Y2
	VADDPD  Y7, Y3, Y11
	VSUBPD  Y7, Y3, Y3
	VMOVUPD Y8, (R8)
	VMOVUPD Y9, 32(R8)
	VMOVUPD Y10, 64(R8)
	VMOVUPD Y11, 96(R8)
	VMOVUPD Y0, (R11)
	VMOVUPD Y1, 32(R11)
	VMOVUPD Y2, 64(R11)
	VMOVUPD Y3, 96(R11)
	VMOVUPD Y8, (R8)(AX*1)
	VMOVUPD Y9, 32(R8)(AX*1)
	VMOVUPD Y10, 64(R8)(AX*1)
	VMOVUPD Y11, 96(R8)(AX*1)
	VMOVUPD Y0, (R11)(AX*1)
	VMOVUPD Y1, 32(R11)(AX*1)
	VMOVUPD Y2, 64(R11)(AX*1)
	VMOVUPD Y3, 96(R11)(AX*1)
	MOVQ    R9, BX
	JMP     sixteen

four:
	CMPQ   BX, CX
	JGE    done
	VXORPD Y0, Y0, Y0
	VXORPD Y4, Y4, Y4
	MOVQ   SI, R8
	MOVQ   DX, R10
	TESTQ  R10, R10
	JZ     turn4

steady4:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y8
	VMULPD       (R11)(BX*8), Y8, Y9
	VADDPD       Y9, Y0, Y0
	ADDQ         $32, R8
	DECQ         R10
	JNZ          steady4

turn4:
	MOVQ  R12, R8
	MOVQ  R13, R10
	TESTQ R10, R10
	JZ    write4

turning4:
	MOVQ         8(R8), R11
	VBROADCASTSD (R8), Y8
	VMULPD       (R11)(BX*8), Y8, Y9
	VADDPD       Y9, Y4, Y4
	ADDQ         $32, R8
	DECQ         R10
	JNZ          turning4

write4:
	LEAQ    (DI)(BX*8), R8
	LEAQ    (R14)(BX*8), R11
	VADDPD  Y4, Y0, Y8
	VSUBPD  Y4, Y0, Y0
	VMOVUPD Y8, (R8)
	VMOVUPD Y0, (R11)
	VMOVUPD Y8, (R8)(AX*1)
	VMOVUPD Y0, (R11)(AX*1)
	ADDQ    $4, BX
	JMP     four

done:
	VZEROUPPER
	RET
