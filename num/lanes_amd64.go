package num

import "golang.org/x/sys/cpu"

// Wide reports whether the processor computes four numbers at once (AVX2). Where it does not, the same loops in Go give the
// same bits [-]. Definition.
func Wide() bool { return cpu.X86.HasAVX2 }

// sumTerms writes a mean and the sum of count rows, each times its factor, for the first n values; n is a positive multiple
// of 4, count is positive.
//
//go:noescape
func sumTerms(to *float64, n int, mean float64, t *Term, count int)

// reflectFour does the work of reflect for n angles, a positive multiple of 4: up goes forwards, down backwards.
//
//go:noescape
func reflectFour(up, down *float64, n int, cos, sin *float64)

// spreadFour does the work of spread for n angles, a positive multiple of 4: up and past go forwards, down and end backwards.
//
//go:noescape
func spreadFour(up, past, down, end *float64, n int, cos, sin *float64)

// doubleFour does the work of double for the first n angles of each half revolution, a positive multiple of 4.
//
//go:noescape
func doubleFour(to *float64, n, half int, steady, turning []Term)
