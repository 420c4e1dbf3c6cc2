//go:build !amd64

package num

func wide() bool { return false }

func addFour(*float64, int, *[4]float64, *float64, *float64, *float64, *float64) {
	panic("num: not for this processor")
}

func addOne(*float64, int, float64, *float64) { panic("num: not for this processor") }

func spreadFour(*float64, *float64, *float64, *float64, int, *float64, *float64) {
	panic("num: not for this processor")
}
