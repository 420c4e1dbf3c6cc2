package balance

import (
	"fmt"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/num"
)

// worthNaming is the share of the largest force or moment of the train below which a part is not named [1].
const worthNaming = 1e-3

// Remains says what shakes in spite of the counterweights, why no mass on the crank can take it, and what
// would.
//
//   - b: the balance of the train with its counterweights, per ω²
//   - ω: crank speed [rad/s], greater than zero
//
// Result: sentences with forces [N] and moments [N m] at the speed; parts below a thousandth of the largest,
// or a millionth of a newton or newton metre, are left out. Source: DEFINITION, see the package.
func Remains(b *inertia.Balance, ω float64) []string {
	var out []string
	for _, q := range []struct {
		name, unit string
		orbit      num.Orbit
	}{{"force", "N", b.Force}, {"moment", "N m", b.Moment}} {
		most := 0.0
		for k := range q.orbit.With {
			w, a := q.orbit.Order(k)
			most = max(most, cmplx.Abs(w), cmplx.Abs(a))
		}
		least := max(worthNaming*most, 1e-6/(ω*ω))
		shown := func(v float64) string { return num.Shown(v*ω*ω, q.unit) }
		for k := 1; k < len(q.orbit.With); k++ {
			w, a := q.orbit.Order(k)
			with, against := cmplx.Abs(w), cmplx.Abs(a)
			if with <= least && against <= least || with+against == 0 {
				continue
			}
			order := num.Digits(float64(k)/2, 4)
			if k != 2 {
				out = append(out, fmt.Sprintf("Order %s: a %s of up to %s. Nothing on the crank turns %s times as fast as the crank, so no counterweight changes it; %s would.",
					order, q.name, shown(with+against), order, shaftsFor(with > least, against > least, order+" times crank speed")))
				continue
			}
			if with > least {
				out = append(out, fmt.Sprintf("Order 1: a %s of %s turns with the crank. Counterweights could take it; these do not.", q.name, shown(with)))
			}
			if against > least {
				out = append(out, fmt.Sprintf("Order 1: a %s of %s turns against the crank. Seen from the crank it runs backwards at twice the crank speed, while every mass on the crank stands still there, so no counterweight changes it; %s would.",
					q.name, shown(against), shaftsFor(false, true, "crank speed")))
			}
		}
	}
	if len(out) == 0 {
		out = append(out, "No free force and no free moment is left in any order.")
	}
	return out
}

// shaftsFor names the shafts that take the parts of an order. A moment needs two masses on each.
func shaftsFor(with, against bool, speed string) string {
	switch {
	case with && against:
		return "two balance shafts that turn opposite ways at " + speed
	case against:
		return "a balance shaft that turns against the crank at " + speed
	default:
		return "a balance shaft that turns with the crank at " + speed
	}
}
