//go:build !amd64

package num

// Wide reports whether the processor computes four numbers at once: none but amd64 is asked [-]. Definition.
func Wide() bool { return false }

func sumTerms(*float64, int, float64, *Term, int) { panic("num: not for this processor") }

func reflectFour(*float64, *float64, int, *float64, *float64) {
	panic("num: not for this processor")
}

func spreadFour(*float64, *float64, *float64, *float64, int, *float64, *float64) {
	panic("num: not for this processor")
}

func doubleFour(*float64, int, int, []Term, []Term) { panic("num: not for this processor") }
