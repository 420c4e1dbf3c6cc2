package spec

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// CounterweightsText writes counterweights as the value of crank.counterweights. Nine digits keep them readable and leave of
// a cancelled force less than anyone measures.
func CounterweightsText(t *layout.Train, list []layout.Unbalance) string {
	if len(list) == 0 {
		return "none"
	}
	var out []string
	for _, c := range list {
		throw := ""
		if c.Throw > 0 {
			throw = ", throw: " + quoted(t.Throws[c.Throw-1].Name)
		}
		out = append(out, "{"+massText(c)+throw+"}")
	}
	return "[" + strings.Join(out, ", ") + "]"
}

// ShaftsText writes balance shafts as the value of balance_shafts, to as many digits as CounterweightsText.
func ShaftsText(list []layout.Shaft) string {
	var out []string
	for _, s := range list {
		var masses []string
		for _, m := range s.Masses {
			masses = append(masses, "{"+massText(m)+"}")
		}
		out = append(out, fmt.Sprintf("{speed_ratio: %s, y: %s mm, z: %s mm, masses: [%s]}",
			num.Digits(s.SpeedRatio, 9), num.Digits(1e3*s.Y, 9), num.Digits(1e3*s.Z, 9), strings.Join(masses, ", ")))
	}
	return "[" + strings.Join(out, ", ") + "]"
}

func massText(u layout.Unbalance) string {
	return fmt.Sprintf("at: %s mm, angle: %s deg, unbalance: %s kg mm",
		num.Digits(1e3*u.At, 9), num.Digits(float64(u.Angle)*180/math.Pi, 10), num.Digits(1e3*u.Amount, 9))
}
