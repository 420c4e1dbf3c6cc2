package balance

import (
	"fmt"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// worthNaming is the share of the first-order force of one cylinder below which a part is not named [1].
const worthNaming = 1e-3

// Remains says what shakes in spite of the counterweights, why no mass on the crank can take it, and what
// would.
//
//   - t: the train
//   - b: its balance with the counterweights, per ω²
//   - ω: crank speed [rad/s], greater than zero
//
// Result: sentences with forces [N] and moments [N m] at the speed; parts below a thousandth of the
// first-order force of the heaviest cylinder, at UsualLength for moments, are left out. Source: DEFINITION, see
// the package.
func Remains(t *layout.Train, b *inertia.Balance, ω float64) []string {
	single := 0.0
	for _, c := range t.Cylinders {
		single = max(single, (c.Piston.Mass+inertia.ReciprocatingShare(c.Rod))*t.Throws[c.Throw].Radius)
	}
	var out []string
	for _, q := range []struct {
		name, unit, masses string
		least              float64
		orbit              num.Orbit
	}{
		{"force", "N", "", worthNaming * single, b.Force},
		{"moment", "N m", " with two opposite masses each", worthNaming * single * UsualLength(t), b.Moment},
	} {
		shown := func(v float64) string { return num.Shown(v*ω*ω, q.unit) }
		for k := 1; k < len(q.orbit.With); k++ {
			w, a := q.orbit.Order(k)
			with, against := cmplx.Abs(w), cmplx.Abs(a)
			if with <= q.least && against <= q.least {
				continue
			}
			n := float64(k) / 2
			if k != 2 {
				out = append(out, fmt.Sprintf("Order %s: a %s of up to %s. Nothing on the crank turns %s as fast as the crank, so no counterweight changes it; %s would.",
					num.Digits(n, 4), q.name, shown(with+against), timesOf(n), shaftsFor(with > q.least, against > q.least, timesOf(n)+" the crank speed", q.masses)))
				continue
			}
			if with > q.least {
				out = append(out, fmt.Sprintf("Order 1: a %s of %s turns with the crank. Counterweights could take it; these do not.", q.name, shown(with)))
			}
			if against > q.least {
				out = append(out, fmt.Sprintf("Order 1: a %s of %s turns against the crank. Seen from the crank it runs backwards at twice the crank speed, while every mass on the crank stands still there, so no counterweight changes it; %s would.",
					q.name, shown(against), shaftsFor(false, true, "crank speed", q.masses)))
			}
		}
	}
	if len(out) == 0 {
		out = append(out, "Hardly any free force or free moment is left, in any order.")
	}
	return out
}

// timesOf says how many times as fast order n is.
func timesOf(n float64) string {
	switch n {
	case 0.5:
		return "half"
	case 2:
		return "twice"
	default:
		return num.Digits(n, 4) + " times"
	}
}

// shaftsFor names the shafts that take the parts of an order.
func shaftsFor(with, against bool, speed, masses string) string {
	switch {
	case with && against:
		return "two balance shafts" + masses + " that turn opposite ways at " + speed
	case against:
		return "a balance shaft" + strings.TrimSuffix(masses, " each") + " that turns against the crank at " + speed
	default:
		return "a balance shaft" + strings.TrimSuffix(masses, " each") + " that turns with the crank at " + speed
	}
}
