package torque

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/num"
)

// Share says how much of the uneven torque is inertia at one speed.
type Share struct {
	Speed               float64 // crank speed [rad/s]
	Gas, Inertia, Total float64 // root mean squares of the torques less their means [N m]
	Ratio               float64 // Inertia/Gas [1]; 0 where there is no gas torque
}

// Shares returns the share of inertia in the uneven torque over a range of speeds.
//
//	ratio = rms(ω² T_inertia)/rms(T_gas − mean)
//
// with
//   - gas: gas torque by half orders [N m], the same at every speed
//   - inertia: inertia torque per ω² by half orders [kg m²]
//   - speeds: crank speeds [rad/s], not negative
//
// Result [N m]: one entry for each speed. Where the gas torque changes with speed, call it for each speed
// alone. Errors: a speed or an order that is not a number. Source: DEFINITION, Parseval's identity.
func Shares(gas, inertia num.Series, speeds []float64) ([]Share, error) {
	if err := checkSeries(gas, inertia); err != nil {
		return nil, err
	}
	g, i := alternating(gas), alternating(inertia)
	out := make([]Share, 0, len(speeds))
	for _, ω := range speeds {
		if !(ω >= 0 && ω <= 1e5) {
			return nil, fmt.Errorf("torque: the speed must lie between 0 and 1e5 rad/s, it is %g rad/s", ω)
		}
		s := Share{Speed: ω, Gas: g, Inertia: ω * ω * i}
		for k := 1; k < max(len(gas), len(inertia)); k++ {
			v := cmplx.Abs(gas.Order(k) + complex(ω*ω, 0)*inertia.Order(k))
			s.Total += v * v / 2
		}
		s.Total = math.Sqrt(s.Total)
		if g > 0 {
			s.Ratio = s.Inertia / g
		}
		out = append(out, s)
	}
	return out, nil
}

// EqualSpeed returns the speed at which inertia torque and gas torque are equally uneven.
//
//	ω = √( rms(T_gas − mean)/rms(T_inertia per ω²) )
//
// with
//   - gas: gas torque by half orders [N m]
//   - inertia: inertia torque per ω² by half orders [kg m²]
//
// Result [rad/s]; ok is false where one of them is even at every speed. Definition.
func EqualSpeed(gas, inertia num.Series) (ω float64, ok bool) {
	return equal(alternating(gas), alternating(inertia))
}

func equal(gas, inertia float64) (float64, bool) {
	ω := math.Sqrt(gas / inertia)
	if !(gas > 0) || !(inertia > 0) || !finite(ω) {
		return 0, false
	}
	return ω, true
}

// alternating is the root mean square of a series less its mean.
func alternating(s num.Series) float64 {
	if len(s) == 0 {
		return 0
	}
	sum := 0.0
	for _, c := range s[1:] {
		sum += (real(c)*real(c) + imag(c)*imag(c)) / 2
	}
	return math.Sqrt(sum)
}

// Order is one order of the torque.
type Order struct {
	K                   int        // twice the order
	Gas, Inertia, Total complex128 // amplitudes [N m]: T(θ) = Re amplitude · e^{ikθ/2}
	Share               float64    // of the mean square of the whole uneven torque [1]
	Equal               float64    // speed at which gas and inertia are equally large in it [rad/s]; 0: none
}

// Orders returns the orders of the torque at one speed, those that make it most uneven first.
//
//	share = ½|Q_k|²/rms²
//
// with
//   - gas: gas torque by half orders [N m]
//   - inertia: inertia torque per ω² by half orders [kg m²]
//   - ω: crank speed [rad/s], not negative
//
// Result [N m], orders that are zero in both left out; the mean is not among them. Errors: as Shares.
// Definition.
func Orders(gas, inertia num.Series, ω float64) ([]Order, error) {
	all, err := Shares(gas, inertia, []float64{ω})
	if err != nil {
		return nil, err
	}
	square := complex(ω*ω, 0)
	var out []Order
	for k := 1; k < max(len(gas), len(inertia)); k++ {
		o := Order{K: k, Gas: gas.Order(k), Inertia: square * inertia.Order(k)}
		if o.Gas == 0 && o.Inertia == 0 {
			continue
		}
		o.Total = o.Gas + o.Inertia
		if rms := all[0].Total; rms > 0 {
			a := cmplx.Abs(o.Total) / rms
			o.Share = a * a / 2
		}
		o.Equal, _ = equal(cmplx.Abs(o.Gas), cmplx.Abs(inertia.Order(k)))
		out = append(out, o)
	}
	slices.SortStableFunc(out, func(a, b Order) int { return cmp.Compare(b.Share, a.Share) })
	return out, nil
}

func checkSeries(all ...num.Series) error {
	for _, s := range all {
		for k, c := range s {
			if !finite(real(c), imag(c)) {
				return fmt.Errorf("torque: order %g is %v, which is no torque", float64(k)/2, c)
			}
		}
	}
	return nil
}
