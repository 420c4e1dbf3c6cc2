#include "go_asm.h"
#include "textflag.h"

// func addFour(j *inline)
// The loop of plain, in lanes: real and imaginary part of force and of moment, of torque and of roll moment (AVX2). Each sum and
// product is rounded as Go rounds it, in the same sequence.
TEXT ·addFour(SB), NOSPLIT, $0-8
	MOVQ     j+0(FP), DI
	MOVQ     inline_n(DI), BX
	VMOVUPD  inline_place(DI), Y12
	VMOVUPD  inline_across(DI), Y13
	VMOVUPD  inline_ahead(DI), Y11
	VMOVUPD  inline_back(DI), Y10
	VPCMPEQQ Y14, Y14, Y14
	VPSRLQ   $1, Y14, Y14               // all but the sign
	VXORPD   Y8, Y8, Y8                 // how many do not cancel
	VXORPD   Y9, Y9, Y9
	XORQ     AX, AX                     // where the order is in the results

order:
	CMPQ   BX, inline_most(DI)
	JGT    done
	VXORPD Y0, Y0, Y0                   // force and moment
	VXORPD Y1, Y1, Y1                   // torque and roll moment
	VXORPD Y2, Y2, Y2                   // their magnitudes
	VXORPD Y3, Y3, Y3
	MOVQ   inline_groups+0(DI), SI
	MOVQ   inline_groups+8(DI), DX
	MOVQ   BX, R9
	SHLQ   $4, R9                       // where the order is among powers
	IMUL3Q $harmonic__size, BX, R8      // and among harmonics

group:
	MOVQ   group_harmonics(SI), R10
	CMPQ   BX, harmonics_orders(R10)
	JGT    next
	MOVQ   harmonics_at+0(R10), R10
	ADDQ   R8, R10
	MOVQ   group_parts+0(SI), R11
	MOVQ   group_parts+8(SI), R12
	TESTQ  R12, R12
	JZ     next
	VXORPD Y4, Y4, Y4                   // turns and those times arms

part:
	MOVQ           part_powers+0(R11), R13
	VBROADCASTF128 (R13)(R9*1), Y5
	VMULPD         part_by(R11), Y5, Y5
	VADDPD         Y5, Y4, Y4
	ADDQ           $part__size, R11
	DECQ           R12
	JNZ            part

	VBROADCASTSD harmonic_with(R10), Y5
	VMULPD       Y4, Y5, Y5
	VADDPD       Y5, Y0, Y0
	VPERM2F128   $0x00, Y4, Y4, Y4
	VPERMILPD    $5, Y4, Y4
	VXORPD       Y11, Y4, Y4            // a quarter of a turn ahead
	VMOVDDUP     harmonic_torque+8(R10), X5
	VMOVDDUP     harmonic_roll+8(R10), X6
	VINSERTF128  $1, X6, Y5, Y5
	VMULPD       Y4, Y5, Y5
	VADDPD       Y5, Y1, Y1
	VMOVUPD      group_magnitude(SI), Y7
	VBROADCASTSD (harmonic_size+sizes_with)(R10), Y5
	VMULPD       Y7, Y5, Y5
	VADDPD       Y5, Y2, Y2
	VPERM2F128   $0x00, Y7, Y7, Y7
	VMOVDDUP     (harmonic_size+sizes_torque)(R10), X5
	VMOVDDUP     (harmonic_size+sizes_roll)(R10), X6
	VINSERTF128  $1, X6, Y5, Y5
	VMULPD       Y7, Y5, Y5
	VADDPD       Y5, Y3, Y3

next:
	ADDQ $group__size, SI
	DECQ DX
	JNZ  group

	// what is no more than rounding is zero
	LEAQ         2(BX), R10
	VXORPD       X5, X5, X5
	VCVTSI2SDQ   R10, X5, X5
	MOVQ         $0x3CF203AF9EE75616, R10 // 4e-15
	VMOVQ        R10, X6
	VMULSD       X6, X5, X5
	VBROADCASTSD X5, Y5
	VMULPD       Y5, Y2, Y2
	VMULPD       Y5, Y3, Y3
	VANDPD       Y14, Y0, Y4
	VCMPPD       $0x16, Y2, Y4, Y4      // not less or equal
	VANDPD       Y4, Y0, Y0
	VANDPD       Y14, Y1, Y5
	VCMPPD       $0x16, Y3, Y5, Y5
	VANDPD       Y5, Y1, Y1
	VPERMILPD    $5, Y4, Y6
	VORPD        Y6, Y4, Y4
	VPSUBQ       Y4, Y8, Y8
	VPERMILPD    $5, Y5, Y6
	VORPD        Y6, Y5, Y5
	VPSUBQ       Y5, Y9, Y9

	// with the crank, and mirrored against it
	VPERMILPD    $5, Y0, Y4
	VXORPD       Y11, Y4, Y4
	VMULPD       Y12, Y0, Y5
	VMULPD       Y13, Y4, Y4
	VADDPD       Y4, Y5, Y4
	VXORPD       Y10, Y0, Y0
	VPERMILPD    $5, Y0, Y5
	VXORPD       Y11, Y5, Y5
	VMULPD       Y12, Y0, Y6
	VMULPD       Y13, Y5, Y5
	VADDPD       Y5, Y6, Y5
	MOVQ         inline_to+0(DI), R10
	MOVQ         inline_to+8(DI), R11
	MOVQ         inline_to+16(DI), R12
	MOVQ         inline_to+24(DI), R13
	VMOVUPD      X4, (R10)(AX*1)
	VMOVUPD      X5, (R11)(AX*1)
	VEXTRACTF128 $1, Y4, (R12)(AX*1)
	VEXTRACTF128 $1, Y5, (R13)(AX*1)
	MOVQ         inline_to+32(DI), R10
	MOVQ         inline_to+40(DI), R11
	VMOVUPD      X1, (R10)(AX*1)
	VEXTRACTF128 $1, Y1, (R11)(AX*1)
	ADDQ         $64, AX
	ADDQ         $2, BX
	JMP          order

done:
	VMOVUPD Y8, inline_left+0(DI)
	VMOVUPD Y9, inline_left+32(DI)
	VZEROUPPER
	RET
