package analysis

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/torsion"
	"crankwright/num"
)

// vectors finds the phase-vector sums of the engine's own firing order.
func (r *Torsion) vectors(s firing.Schedule) error {
	at, err := torsion.FiringAngles(s.FiringAngle, len(r.Train.Cylinders))
	if err != nil {
		return err
	}
	for _, m := range r.Bare {
		if m.Frequency == 0 || len(r.Vectors) == MostVectorModes {
			continue
		}
		sums, err := torsion.VectorSums(m.At(r.Crank.Cylinders), at, TorsionOrders)
		if err != nil {
			return err
		}
		r.VectorModes = append(r.VectorModes, m)
		r.Vectors = append(r.Vectors, sums)
	}
	r.fires = at
	return nil
}

// VectorParts returns the phase vectors of the cylinders in one mode, whose sum is in Vectors.
//
//   - mode: index into VectorModes
//   - k: half order
//
// Result [1], by cylinder. Definition.
func (r *Torsion) VectorParts(mode, k int) []complex128 {
	shape := r.VectorModes[mode].At(r.Crank.Cylinders)
	out := make([]complex128, len(shape))
	for i := range out {
		out[i] = complex(shape[i], 0) * (-r.fires[i] * num.Angle(k) / 2).Unit()
	}
	return out
}

// SumOf returns the phase-vector sum of the engine's firing order in the mode and order of a critical speed [1].
// Definition.
func (r *Torsion) SumOf(c torsion.Critical) complex128 {
	sum := complex(0, 0)
	for i, θ := range r.Modes[c.Mode].At(r.Crank.Cylinders) {
		sum += complex(θ, 0) * (-r.fires[i] * num.Angle(c.K) / 2).Unit()
	}
	return sum
}

// LargestOrders returns the half orders with the largest torque in a span at the speeds that are run, largest first [1].
//
//   - span: index into the spans of Model
//   - most: how many
//
// Definition.
func (r *Torsion) LargestOrders(span, most int) []int {
	peak := make([]float64, TorsionOrders+1)
	var list []int
	for k := 1; k <= TorsionOrders; k++ {
		for i := range r.Sweep.Points {
			if p := &r.Sweep.Points[i]; p.Speed <= r.Hi*(1+1e-9) {
				peak[k] = math.Max(peak[k], cmplx.Abs(p.Torque[span].Order(k)))
			}
		}
		list = append(list, k)
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(peak[b], peak[a]) })
	return list[:min(most, len(list))]
}

// kind ranks the firing orders that the crank allows by how kind they are to the winding mode, within the speeds that
// are run and by the torque of one cylinder.
func (r *Torsion) kind(d *Driver, one *singly) error {
	if r.Winding < 0 {
		return nil
	}
	tdc, err := firing.TopDeadCentres(r.Train)
	if err != nil {
		return err
	}
	const most = 200
	list, err := firing.Orders(r.Train, tdc, firing.Options{Limit: most})
	if err != nil {
		return err
	}
	r.Orders = list.List
	var all []firing.Schedule
	for _, o := range r.Orders {
		all = append(all, o.Schedule)
	}
	// the torque of one cylinder, at the critical speed of each order
	mode := r.Bare[r.Winding]
	torqueOf := make(num.Series, TorsionOrders+1)
	for k := 1; k <= TorsionOrders; k++ {
		torqueOf[k] = one.at(2*mode.Frequency/float64(k), k)
	}
	weights, err := torsion.WeightsWithin(mode.Frequency, torqueOf, TorsionOrders, r.Lo, r.Hi)
	if err != nil {
		return err
	}
	if r.Kind, err = torsion.RankFirings(mode.At(r.Crank.Cylinders), all, weights); err != nil {
		return err
	}
	for i, k := range r.Kind {
		if all[k.Index].SameRound(d.Schedule) {
			r.Own = i
		}
	}
	return nil
}
