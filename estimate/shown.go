package estimate

import (
	"math"
	"strconv"
	"strings"
)

// Shown returns a value in the unit that people read, as the estimates show it.
//
//   - value: in SI
//   - unit: its SI unit as in layout.Estimate
//
// Result as text with three digits and its unit, such as 84 mm [-]. Definition.
func Shown(value float64, unit string) string {
	switch unit {
	case "m":
		if value > 0 && value < 2e-4 { // a clearance
			return digits(1e6*value) + " um"
		}
		return digits(1e3*value) + " mm"
	case "kg":
		if value < 0.1 {
			return digits(1e3*value) + " g"
		}
		return digits(value) + " kg"
	case "kg m":
		return digits(1e3*value) + " kg mm"
	case "kg m2":
		if value != 0 && value < 1e-3 {
			return digits(1e6*value) + " kg mm2"
		}
		return digits(value) + " kg m2"
	case "Pa":
		if value >= 5e7 {
			return digits(value/1e6) + " MPa"
		}
		return digits(value/1e5) + " bar"
	case "rad":
		return digits(value*180/math.Pi) + " deg"
	case "share":
		return digits(100*value) + " %"
	case "m2":
		return digits(1e4*value) + " cm2"
	case "1":
		return digits(value)
	case "rad/s":
		return digits(value*30/math.Pi) + " rpm"
	case "N/m":
		return digits(value/1e9) + " GN/m"
	default:
		return digits(value) + " " + unit
	}
}

// digits writes a number with three significant digits and no exponent.
func digits(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	var room [32]byte
	text := strconv.AppendFloat(room[:0], x, 'e', 2, 64) // such as -1.20e+03
	sign := ""
	if text[0] == '-' {
		sign, text = "-", text[1:]
	}
	power, _ := strconv.Atoi(string(text[5:]))
	all := strings.TrimRight(string([]byte{text[0], text[2], text[3]}), "0")
	switch point := power + 1; {
	case all == "":
		return sign + "0"
	case point <= 0:
		return sign + "0." + strings.Repeat("0", -point) + all
	case point >= len(all):
		return sign + all + strings.Repeat("0", point-len(all))
	default:
		return sign + all[:point] + "." + all[point:]
	}
}
