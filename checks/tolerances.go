package checks

import (
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
)

// lightRods returns an ideal engine that can be built: rods of a mass too small to matter.
func lightRods(e ideal) *layout.Train {
	t := e.train()
	for i := range t.Cylinders {
		r := &t.Cylinders[i].Rod
		r.Mass, r.CG, r.Inertia = 1e-12, r.Length/2, 1e-15
	}
	return t
}

// tolerances lists what scatter and matching must give where a closed form, or every assignment tried by a
// program that shares nothing with ours, tells it.
func (l *list) tolerances() {
	add := func(id, place, what, unit, printed string, want, tol float64, why string, ours func() (float64, error)) {
		l.add(Check{
			ID: "tolerances/" + id, Chapter: "balance", Kind: ClosedForm, Source: "DEFINITION", Place: place, Seen: Recomputed, What: what,
			Unit: unit, Printed: printed, Want: want, Tol: tol, TolWhy: why, Ours: ours,
		})
	}
	const half, r = 0.003, idealRadius // [kg], [m]
	four := inline(0, 180, 180, 0)
	linear := func(e ideal, tol balance.Tolerances, k int, kind balance.ResidualKind) func() (float64, error) {
		return func() (float64, error) {
			law, err := balance.LinearTolerances(lightRods(e), tol, []int{k})
			if err != nil {
				return 0, err
			}
			return law.Vectors[kind].Deviation, nil
		}
	}
	const smallRods = "the rods weigh 1e-12 kg"
	uniform := balance.Tolerances{PistonMass: half, Spread: balance.UniformSpread}
	add("cut-normal", "variance of the normal law cut at three standard deviations, summed numerically", "standard deviation by a third of the half width",
		"1", "0.98658", 0.98658, 0, "", func() (float64, error) { return 3 * balance.NormalSpread.Sigma(1), nil })
	add("four-force-1", "√4 · ½ r h/√3", "first-order force with the crank, flat-crank four, pistons uniform within ±h",
		"kg m", "r h/√3", r*half/math.Sqrt(3), 1e-12, smallRods, linear(four, uniform, 2, balance.ForceWith))
	add("four-moment-1", "½ r h/√3 √(Σx²), Σx² = 5", "first-order moment against the crank, flat-crank four, pistons uniform within ±h",
		"kg m²", "½ r h √(5/3)", 0.5*r*half*math.Sqrt(5.0/3), 1e-12, smallRods, linear(four, uniform, 2, balance.MomentAgainst))
	add("four-force-2", "√4 · ½ r A2 h/√3", "second-order force with the crank, flat-crank four, pistons uniform within ±h",
		"kg m", "r A2 h/√3", r*seriesA(2, idealRatio)*half/math.Sqrt(3), 1e-12, smallRods, linear(four, uniform, 4, balance.ForceWith))
	const turn = 0.01 // [rad]
	add("four-pins-2", "√4 · 2 · ½ m r A2 δ/√3", "second-order force with the crank, flat-crank four, pins uniform within ±δ",
		"kg m", "2 r A2 δ/√3", 2*r*seriesA(2, idealRatio)*turn/math.Sqrt(3), 1e-9, "the step of the slope is 1e-4 rad",
		linear(four, balance.Tolerances{PinAngle: turn, Spread: balance.UniformSpread}, 4, balance.ForceWith))
	add("six-rayleigh-95", "√(ln 20) of the root mean square: length of a plane vector, normal alike in all directions",
		"95th percentile of the first-order force of a six over its root mean square", "1", "1.731", math.Sqrt(math.Log(20)), 0.015,
		"100,000 samples, and six pistons cut at three standard deviations are only nearly normal", func() (float64, error) {
			s, err := balance.Simulate(lightRods(inline(0, 120, 240, 240, 120, 0)), balance.Tolerances{PistonMass: half}, balance.SimOptions{Seed: 1, Orders: []int{2}})
			if err != nil {
				return 0, err
			}
			return s[balance.ForceWith].Percentiles[2].Value / s[balance.ForceWith].Deviation, nil
		})
	l.matching()
}
