package torsion

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/num"
)

// VectorSums returns the phase-vector sums of a firing order in a mode, by half orders.
//
//	S_k = Σ_c θ_c e^{−ikα_c/2}
//
// with
//   - shape: twist θ_c of each cylinder's disc in the mode [1]; ones for the major orders of a stiff shaft
//   - at: firing angle α_c of each cylinder [rad]
//   - orders: highest half order k [1]
//
// Result [1], index k is order k/2; index 0 is the plain sum. Equal cylinders do the work π |T_k S_k| a vibration on the mode at resonance.
// Errors: lists of different length, values that are no numbers. Source: DENHARTOG, phase-vector (star) diagrams.
func VectorSums(shape []float64, at []num.Angle, orders int) ([]complex128, error) {
	if err := checkOrders(orders); err != nil {
		return nil, err
	}
	if len(shape) != len(at) {
		return nil, fmt.Errorf("torsion: %d cylinders have a twist and %d a firing angle; give both for each", len(shape), len(at))
	}
	out := make([]complex128, orders+1)
	for c, θ := range shape {
		a := float64(at[c])
		if !(math.Abs(θ) <= 1e9) || !(math.Abs(a) <= 1e6) {
			return nil, fmt.Errorf("torsion: cylinder %d has a twist of %g and a firing angle of %g rad, which are no numbers to add", c+1, θ, a)
		}
		for k := range out {
			out[k] += complex(θ, 0) * (-num.Angle(k) * at[c] / 2).Unit()
		}
	}
	return out, nil
}

// At returns the twist of some discs in a mode, such as Crank.Cylinders for the vector sums [1].
//
//   - discs: indices; one that the mode does not have stands still
//
// Definition.
func (mode Mode) At(discs []int) []float64 {
	out := make([]float64, len(discs))
	for i, d := range discs {
		if d >= 0 && d < len(mode.Shape) {
			out[i] = mode.Shape[d]
		}
	}
	return out
}

// Kindness says how much a firing order drives a mode.
type Kindness struct {
	Index int       // into the list of firing orders
	Worst int       // half order k with the largest weighted sum; 0: none counts
	Size  float64   // that weighted sum [unit of the weights]
	Total float64   // root of the sum of the squares of all weighted sums [unit of the weights]
	Sums  []float64 // size of S_k by half order, not weighted [1]
}

// RankFirings ranks firing orders by how kind they are to a mode, the kindest first.
//
//	size = max_k w_k |S_k|      k among the half orders that count
//
// with
//   - shape: twist of each cylinder's disc in the mode [1]
//   - list: firing orders, each of every cylinder
//   - weights: by half order [any unit], such as the size of one cylinder's torque at the critical speed; 0: the order does
//     not count; see WeightsWithin
//
// Result [unit of the weights]. Those that are equal in the worst order stand by the total, then as listed. Errors: those of
// VectorSums, a schedule without a cylinder, weights that are negative. Source: DENHARTOG, choice of the firing order.
func RankFirings(shape []float64, list []firing.Schedule, weights []float64) ([]Kindness, error) {
	if len(weights) < 2 {
		return nil, fmt.Errorf("torsion: the weights must reach at least half order 1 (index 1); %d are given", len(weights))
	}
	for k, w := range weights {
		if !(w >= 0 && w <= 1e12) {
			return nil, fmt.Errorf("torsion: the weight of order %g is %g; weights are not negative", float64(k)/2, w)
		}
	}
	out := make([]Kindness, 0, len(list))
	for i, s := range list {
		at, err := FiringAngles(s.FiringAngle, len(shape))
		if err != nil {
			return nil, err
		}
		sums, err := VectorSums(shape, at, len(weights)-1)
		if err != nil {
			return nil, err
		}
		r := Kindness{Index: i, Sums: make([]float64, len(sums))}
		for k, v := range sums {
			r.Sums[k] = cmplx.Abs(v)
			if k == 0 {
				continue
			}
			w := weights[k] * r.Sums[k]
			r.Total = math.Hypot(r.Total, w)
			if w > r.Size {
				r.Size, r.Worst = w, k
			}
		}
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b Kindness) int {
		if math.Abs(a.Size-b.Size) > 1e-9*(a.Size+b.Size) {
			return cmp.Compare(a.Size, b.Size)
		}
		if math.Abs(a.Total-b.Total) > 1e-9*(a.Total+b.Total) {
			return cmp.Compare(a.Total, b.Total)
		}
		return 0
	})
	return out, nil
}

// WeightsWithin returns weights by half order that count only the orders whose critical speed is run.
//
//   - frequency: of the mode [rad/s]
//   - torque: size of one cylinder's torque by half order [N m]; nil: all orders count alike
//   - orders: highest half order [1]
//   - lo, hi: range of crank speeds [rad/s]
//
// Result [N m], or [1] where torque is nil. Errors: a range that is none. Definition.
func WeightsWithin(frequency float64, torque num.Series, orders int, lo, hi float64) ([]float64, error) {
	all, err := Criticals([]Mode{{Frequency: frequency}}, orders, lo, hi)
	if err != nil {
		return nil, err
	}
	out := make([]float64, orders+1)
	for _, c := range all {
		out[c.K] = 1
		if torque != nil {
			out[c.K] = cmplx.Abs(torque.Order(c.K))
		}
	}
	return out, nil
}
