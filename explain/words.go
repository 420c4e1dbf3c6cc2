package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strconv"
	"strings"

	"crankwright/num"
)

// degrees returns an angle as people read it, with as many decimals as it needs and no more than two.
func degrees(a float64) string {
	d := math.Round(a*180/math.Pi*100) / 100
	if d == -180 {
		d = 180
	}
	return strings.Replace(strconv.FormatFloat(d+0, 'f', -1, 64), "-", "−", 1) + "°"
}

// signed writes a number with a typographic minus.
func signed(v float64) string { return strings.Replace(num.Digits(v, 5), "-", "−", 1) }

// fromUp returns the direction of a plane vector as an angle from +z about +x, in (−180°, 180°].
func fromUp(v complex128) string {
	return degrees(turnBetween(math.Pi/2, cmplx.Phase(v)))
}

// polygonName names a closed star of n corners.
func polygonName(n int) string {
	switch n {
	case 2:
		return "opposite each other"
	case 3:
		return "120° apart, a closed triangle"
	case 4:
		return "90° apart, a closed square"
	case 5:
		return "72° apart, a closed pentagon"
	case 6:
		return "60° apart, a closed hexagon"
	default:
		return fmt.Sprintf("%s apart, a closed polygon of %d sides", degrees(2*math.Pi/float64(n)), n)
	}
}

// orderName names an order: "1st order", "2nd order", "0.5th order".
func orderName(k int) string {
	if k%2 == 1 {
		return strconv.FormatFloat(float64(k)/2, 'f', -1, 64) + "th order"
	}
	switch n := k / 2; {
	case n%10 == 1 && n%100 != 11:
		return fmt.Sprintf("%dst order", n)
	case n%10 == 2 && n%100 != 12:
		return fmt.Sprintf("%dnd order", n)
	case n%10 == 3 && n%100 != 13:
		return fmt.Sprintf("%drd order", n)
	default:
		return fmt.Sprintf("%dth order", n)
	}
}

// speedName says how fast a vector of an order turns.
func speedName(k int) string {
	switch k {
	case 1:
		return "half crank speed"
	case 2:
		return "crank speed"
	case 4:
		return "twice crank speed"
	default:
		return strconv.FormatFloat(float64(k)/2, 'f', -1, 64) + " times crank speed"
	}
}

// lineName says how a straight line lies, given its direction from +y.
func lineName(axis num.Angle) string {
	up := math.Abs(turnBetween(math.Pi/2, float64(axis)))
	up = math.Min(up, math.Pi-up)
	switch {
	case up < sameDirection:
		return "up and down"
	case math.Pi/2-up < sameDirection:
		return "from side to side"
	default:
		return "along a line " + degrees(turnBetween(math.Pi/2, float64(axis))) + " from upright"
	}
}

// shape describes the path of a vector in words.
func shape(e num.Ellipse, unit string, k int) string {
	switch {
	case e.Major == 0:
		return "nothing"
	case e.Minor == 0:
		return fmt.Sprintf("swings %s with %s", lineName(e.Axis), num.Shown(e.Major, unit))
	case e.Major-e.Minor < 1e-6*e.Major:
		return fmt.Sprintf("has the constant size %s and turns %s at %s", num.Shown(e.Major, unit), sense(e.Sense), speedName(k))
	default:
		return fmt.Sprintf("describes an ellipse, %s by %s, the longer half %s, and turns %s at %s",
			num.Shown(e.Major, unit), num.Shown(e.Minor, unit), strings.Replace(lineName(e.Axis), "along a line ", "", 1), sense(e.Sense), speedName(k))
	}
}

func sense(s int) string {
	if s < 0 {
		return "against the crank"
	}
	return "with the crank"
}
