package draw

import (
	"math"
	"strconv"
	"strings"

	"crankwright/num"
)

// unknown stands where a figure has no value to show.
const unknown = "not known"

// nothing is the magnitude below which an SI value is shown as zero.
const nothing = 1e-9

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// quantity writes an SI value with its unit, three digits and the prefix that engineers would use:
// 1.23 kN, 0.45 N m, 0 N.
func quantity(x float64, unit string) string {
	if !finite(x) {
		return unknown
	}
	factor, prefix := prefixFor(math.Abs(x))
	return digits(x/factor) + " " + prefix + unit
}

// prefixFor returns the factor and the letter for values as large as x.
func prefixFor(x float64) (float64, string) {
	switch {
	case x >= 999.5e6:
		return 1e9, "G"
	case x >= 999.5e3:
		return 1e6, "M"
	case x >= 999.5:
		return 1e3, "k"
	case x >= 0.0995 || x < nothing:
		return 1, ""
	case x >= 0.9995e-3:
		return 1e-3, "m"
	case x >= 0.9995e-6:
		return 1e-6, "µ"
	default:
		return 1e-9, "n"
	}
}

// digits writes a number with three significant digits; a minus sign is a real one.
func digits(x float64) string {
	if !finite(x) {
		return unknown
	}
	if math.Abs(x) < nothing {
		return "0"
	}
	if math.Abs(x) >= 1e6 {
		mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 2, 64), "e+")
		return signed(mantissa + "·10^" + strings.TrimLeft(exponent, "0"))
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	if err != nil {
		rounded = x
	}
	return signed(strconv.FormatFloat(rounded, 'f', -1, 64))
}

func signed(s string) string { return strings.Replace(s, "-", "−", 1) }

// degrees writes an angle in degrees with at most one decimal, two below a degree.
func degrees(a num.Angle) string {
	d := a.Deg()
	if !finite(d) {
		return unknown
	}
	return signed(decimal(d, 1)) + "°"
}

// decimal writes a number with at most some decimals.
func decimal(x float64, decimals int) string {
	p := math.Pow(10, float64(decimals))
	r := math.Round(x*p) / p
	if r == 0 {
		r = 0 // no −0
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// revolutions writes a crank speed [rad/s] in revolutions per minute.
func revolutions(ω float64) string { return digitsWhole(ω*30/math.Pi) + " rpm" }

// digitsWhole writes a number of three digits or more as a whole number.
func digitsWhole(x float64) string {
	if finite(x) && math.Abs(x) >= 100 && math.Abs(x) < 1e6 {
		return signed(decimal(x, 0))
	}
	return digits(x)
}

// orderName writes twice an order as the order: 2 is 1, 1 is 0.5.
func orderName(k int) string { return strconv.FormatFloat(float64(k)/2, 'f', -1, 64) }

// niceStep returns 1, 2 or 5 times a power of ten, near a share of a range.
func niceStep(span float64, parts int) float64 {
	if !(span > 0) || !finite(span) {
		return 1
	}
	raw := span / float64(parts)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range []float64{1, 2, 5} {
		if f*power >= raw*0.999999 {
			return f * power
		}
	}
	return 10 * power
}

// niceBelow returns the largest of 1, 2 or 5 times a power of ten that is not above x.
func niceBelow(x float64) float64 {
	if !(x > 0) || !finite(x) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, f := range []float64{5, 2} {
		if f*power <= x {
			return f * power
		}
	}
	return power
}

// few joins names and cuts the list after some of them: 1, 2, 3 +5.
func few(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most-1], ", ") + " +" + strconv.Itoa(len(names)-most+1)
}
