package num

import (
	"math"
	"strconv"
	"strings"
)

// Shown returns a value as people read it, with three or four digits and a prefix that fits.
//
//   - v: value in an SI unit without prefix [unit]
//   - unit: the unit's symbol, such as N or N m
//
// Result such as "1.234 kN", "845 N", "0 N" [-]. Values of thousands and millions get k and M, small
// ones m; a value that is not finite is "not a number". Definition.
func Shown(v float64, unit string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not a number"
	}
	prefix := ""
	switch a := math.Abs(v); {
	case a < 1e-9:
		v = 0
	case a < 0.0995:
		v, prefix = v*1e3, "m"
	case a < 9999.5:
	case a < 9.9995e6:
		v, prefix = v/1e3, "k"
	default:
		v, prefix = v/1e6, "M"
	}
	return Digits(v, 4) + " " + prefix + unit
}

// Digits returns a number rounded to a count of significant digits, without exponent and without
// trailing zeros after the point.
//
//   - v: the number [any]
//   - digits: significant digits [1], at least 1
//
// Result such as "12.3" [-]. Definition.
func Digits(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return "0"
	}
	s := strconv.FormatFloat(rounded, 'f', -1, 64)
	if strings.Trim(s, "-0.") == "" {
		return "0"
	}
	return s
}
