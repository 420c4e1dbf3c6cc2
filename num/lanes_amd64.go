package num

import "golang.org/x/sys/cpu"

// wide tells whether the processor computes four angles at once.
func wide() bool { return cpu.X86.HasAVX2 }

// addFour adds four rows, each times its factor, to the first n values; n is a positive multiple of 4.
//
//go:noescape
func addFour(to *float64, n int, f *[4]float64, r0, r1, r2, r3 *float64)

// addOne adds a row times a factor to the first n values; n is a positive multiple of 4.
//
//go:noescape
func addOne(to *float64, n int, f float64, r *float64)

// spreadFour does the work of spread for n angles, a positive multiple of 4: up and past go forwards, down and end backwards.
//
//go:noescape
func spreadFour(up, past, down, end *float64, n int, cos, sin *float64)
