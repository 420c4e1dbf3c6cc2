package inertia

import "golang.org/x/sys/cpu"

// wide tells whether the processor has four lanes.
func wide() bool { return cpu.X86.HasAVX2 }

// addFour does the work of plain, four numbers at once.
//
//go:noescape
func addFour(j *inline)
