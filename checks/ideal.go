package checks

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// The ideal engines of the layout table have pistons of 1 kg, rods without mass, and this crank.
const (
	idealRadius = 0.05 // [m]
	idealRatio  = 0.1  // r/l: small, so that the exact series is short
)

func angle(deg float64) num.Angle { return num.Degrees(deg) }

// ideal is an engine of equal cylinders: direction of its pins and cylinder axes [deg], axial places
// in cylinder spacings.
type ideal struct{ pins, axes, x []float64 }

// spread returns n places one spacing apart, centred.
func spread(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i) - float64(n-1)/2
	}
	return x
}

func (e *ideal) add(pin, axis, x float64) {
	e.pins, e.axes, e.x = append(e.pins, pin), append(e.axes, axis), append(e.x, x)
}

func inline(pins ...float64) ideal {
	return ideal{pins: pins, axes: make([]float64, len(pins)), x: spread(len(pins))}
}

// vee returns a vee whose cylinders are numbered along the crank, the first of each throw at minus
// half the bank angle. The pin of the second lags by the split.
func vee(bank, split float64, pins ...float64) ideal {
	var e ideal
	for i, x := range spread(len(pins)) {
		e.add(pins[i], -bank/2, x)
		e.add(pins[i]-split, bank/2, x)
	}
	return e
}

// boxer returns opposed cylinders on own pins, pairs one spacing apart, the two of a pair b apart.
func boxer(b float64, pins ...float64) ideal {
	var e ideal
	for i, x := range spread(len(pins)) {
		e.add(pins[i], -90, x-b/2)
		e.add(pins[i]+180, 90, x+b/2)
	}
	return e
}

func radial(k int) ideal {
	var e ideal
	for i := range k {
		e.add(0, 360*float64(i)/float64(k), 0)
	}
	return e
}

// threeBanks returns three rows on one crank, 60° apart.
func threeBanks(pins ...float64) ideal {
	var e ideal
	for i, x := range spread(len(pins)) {
		for _, axis := range []float64{-60, 0, 60} {
			e.add(pins[i], axis, x)
		}
	}
	return e
}

// bankFirst renumbers a vee: first one whole bank, then the other.
func (e ideal) bankFirst() ideal {
	var out ideal
	for first := range 2 {
		for i := first; i < len(e.pins); i += 2 {
			out.add(e.pins[i], e.axes[i], e.x[i])
		}
	}
	return out
}

// train returns the engine; cylinders with equal pin and place share a throw.
func (e ideal) train() *layout.Train {
	t := &layout.Train{Name: "ideal"}
	banks := map[float64]int{}
	throws := map[[2]float64]int{}
	for i := range e.pins {
		bank, ok := banks[e.axes[i]]
		if !ok {
			bank = len(t.Banks)
			banks[e.axes[i]] = bank
			t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint(bank + 1), Axis: angle(e.axes[i])})
		}
		key := [2]float64{e.pins[i], e.x[i]}
		throw, ok := throws[key]
		if !ok {
			throw = len(t.Throws)
			throws[key] = throw
			t.Throws = append(t.Throws, layout.Throw{
				Name: fmt.Sprint(throw + 1), At: e.x[i], Angle: angle(e.pins[i]), Radius: idealRadius, Pair: throw,
			})
		}
		t.Cylinders = append(t.Cylinders, layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: throw, Bank: bank, At: e.x[i], Axis: angle(e.axes[i]),
			Piston: layout.Piston{Mass: 1}, Rod: layout.Rod{Length: idealRadius / idealRatio},
		})
	}
	return t
}

// solve returns our balance of a train.
func solve(t *layout.Train) (*inertia.Balance, error) {
	var s inertia.Solver
	return s.Solve(nil, t, inertia.Options{})
}

// orderOf returns the counter-turning parts of one order of our force or moment of a train [unit of Balance].
func orderOf(t *layout.Train, n int, moment bool) (with, against complex128, err error) {
	b, err := solve(t)
	if err != nil {
		return 0, 0, err
	}
	orbit := b.Force
	if moment {
		orbit = b.Moment
	}
	with, against = orbit.Order(2 * n)
	return with, against, nil
}

// sums returns the engine's order-1 and order-2 sums by the fast kernel.
func (e ideal) sums() inertia.OrderSums {
	phasors := make([]inertia.Phasor, len(e.pins))
	for i := range phasors {
		phasors[i] = inertia.Phasor{Throw: angle(e.pins[i]).Unit(), Axis: angle(e.axes[i]).Unit(), X: e.x[i]}
	}
	return inertia.SumOrders(phasors)
}

// order returns the counter-turning parts of one order of force or moment, per amplitude of one
// cylinder's force of that order, m r ω² A_n, and per spacing. The exact solution and, for orders 1
// and 2, the fast kernel must agree.
func (e ideal) order(n int, moment bool) (with, against complex128, err error) {
	if with, against, err = orderOf(e.train(), n, moment); err != nil {
		return 0, 0, err
	}
	unit := complex(idealRadius*seriesA(n, idealRatio), 0)
	with, against = with/unit, against/unit
	if n > 2 {
		return with, against, nil
	}
	s := e.sums()
	fast := map[[2]bool][2]complex128{ // first order?, moment?
		{true, false}: {s.Force1With, s.Force1Against}, {true, true}: {s.Moment1With, s.Moment1Against},
		{false, false}: {s.Force2With, s.Force2Against}, {false, true}: {s.Moment2With, s.Moment2Against},
	}[[2]bool{n == 1, moment}]
	if gap := cmplx.Abs(fast[0]-with) + cmplx.Abs(fast[1]-against); gap > 1e-12*float64(len(e.pins)*len(e.pins)) {
		return with, against, fmt.Errorf("exact solution and fast order sum differ by %g", gap)
	}
	return with, against, nil
}

// ellipse returns largest and smallest resultant and the two counter-turning parts of an order.
func (e ideal) ellipse(n int, moment bool) (out [4]float64, err error) {
	w, a, err := e.order(n, moment)
	with, against := cmplx.Abs(w), cmplx.Abs(a)
	return [4]float64{with + against, with, against, math.Abs(with - against)}, err
}
