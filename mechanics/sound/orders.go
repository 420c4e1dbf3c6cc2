package sound

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Order is one order of the sound.
type Order struct {
	K         int          // the order is K/2
	Frequency float64      // [1/s]
	Groups    []complex128 // of each group at its outlet, and
	Sum       complex128   // of all groups at the ear, as shares of the firing order of an engine that fires evenly [1]
}

// MostOrders is how many half orders a spectrum can have [1], and Floor the lowest level that counts [dB].
const (
	MostOrders = 1000
	Floor      = -80.0
)

// Orders returns the order spectrum of the sound at one speed and load.
//
//	Y_k,g = C_k,g H(Ω) / (N |H(Ω_f)|)      Σ_g Y_k,g e^{−iΩτ_g}      Ω = kω/2
//
// with
//   - m: exhaust pulses
//   - s: speed [rad/s], load [1] and delay τ of each group [s]
//   - most: how many half orders [1], 1 to 1000
//
// Result [1]: orders 0.5, 1, … most/2, each relative to the firing order f of an engine with as many
// cylinders, all firing evenly into one pipe. A two-stroke engine has no half orders. The delays turn the phase
// with the speed, so that joined pipes of unequal length change their character over the speed range. Errors: input that
// is impossible. Definition.
func Orders(m Impulses, s Setting, most int) ([]Order, error) {
	if most < 1 || most > MostOrders {
		return nil, fmt.Errorf("sound: %d half orders are asked for; 1 to %d are possible", most, MostOrders)
	}
	if err := s.check(&m); err != nil {
		return nil, err
	}
	shape := ShapeAt(s.Speed, s.Load)
	half := s.Speed / 2
	reference := float64(m.Cylinders) * cmplx.Abs(shape.Transform(half*float64(m.FiringOrder())))
	var out []Order
	for k := 1; k <= most; k++ {
		if m.Cycle == layout.TwoStroke && k%2 != 0 {
			continue
		}
		Ω := half * float64(k)
		h := shape.Transform(Ω) / complex(reference, 0)
		o := Order{K: k, Frequency: Ω / (2 * math.Pi), Groups: make([]complex128, len(m.Groups))}
		for g := range m.Groups {
			o.Groups[g] = m.Pattern(k, g) * h
			o.Sum += o.Groups[g] * num.Angle(-Ω*s.delay(g)).Unit()
		}
		out = append(out, o)
	}
	return out, nil
}

// Level returns the level of an amplitude.
//
//	L = 20 lg |y|
//
// with
//   - y: amplitude as Orders gives it [1]
//
// Result [dB] relative to the firing order of an engine that fires evenly; ok is false where it lies below Floor, which
// is rounding or inaudible. Definition.
func Level(y complex128) (level float64, ok bool) {
	a := cmplx.Abs(y)
	if !(a > 0) {
		return Floor, false
	}
	level = 20 * math.Log10(a)
	if !(level >= Floor) {
		return Floor, false
	}
	return level, true
}

// Character returns the orders that carry the sound at the ear.
//
//	|Y_k| ≥ 10^(−within/20) max |Y|
//
// with
//   - orders: as Orders gives them
//   - within: how far below the loudest order counts [dB], such as 12
//
// Result [1]: twice the orders, loudest first. Definition.
func Character(orders []Order, within float64) []int {
	most := 0.0
	for _, o := range orders {
		most = max(most, cmplx.Abs(o.Sum))
	}
	var found []Order
	for _, o := range orders {
		if a := cmplx.Abs(o.Sum); most > 0 && a >= most*math.Pow(10, -within/20) {
			found = append(found, o)
		}
	}
	out := make([]int, 0, len(found))
	for len(found) > 0 {
		best := 0
		for i, o := range found {
			if cmplx.Abs(o.Sum) > cmplx.Abs(found[best].Sum)*(1+1e-9) {
				best = i
			}
		}
		out = append(out, found[best].K)
		found = append(found[:best], found[best+1:]...)
	}
	return out
}
