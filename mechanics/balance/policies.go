package balance

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// OneFactor returns counterweights of one balance factor: opposite every pin the masses that turn and a
// share of those that go up and down. See PerThrow.
//
//   - t: a train whose masses are known
//   - k: balance factor, the share of the reciprocating mass [1]; any finite number
//
// Result: one unbalance for each of Webs [kg m]. An error where a mass, a place or the factor is no
// number. Source: PRACTICE, see PerThrow.
func OneFactor(t *layout.Train, k float64) ([]layout.Unbalance, error) {
	factors := make([]float64, len(t.Throws))
	for i := range factors {
		factors[i] = k
	}
	return PerThrow(t, factors)
}

// PerThrow returns counterweights with a balance factor of its own for each throw, on the two outer webs of
// the throw together
//
//	U = U_throw + Σ m_rod (1 − c/l) r + k Σ ( m_piston + m_rod c/l ) r
//
// with
//   - t: a train whose masses are known
//   - factors: one k for each of its throws, the share of the reciprocating mass [1]; any finite numbers
//
// Result: one unbalance for each of Webs, opposite the pins [kg m]. The sums run over the rods of a pin, c
// is the centre of gravity from the big end: the two-mass replacement of the rod. A linked rod counts alike,
// its big-end share as if it turned on the crankpin. Pins split from one throw share its two outer webs, the
// mass of each spread over them as on a beam, so that force and moment are as if each pin had its own. An
// error where the number of factors is wrong or something is no number. Source: PRACTICE.
func PerThrow(t *layout.Train, factors []float64) ([]layout.Unbalance, error) {
	if len(factors) != len(t.Throws) {
		return nil, fmt.Errorf("there are %d balance factors; the crank has %d throws, give one for each", len(factors), len(t.Throws))
	}
	webs := Webs(t)
	us := make([]complex128, len(webs))
	for i := range t.Throws {
		side := 0
		for webs[side].Pair != t.PairOf(i) {
			side += 2
		}
		share := 0.5
		if apart := webs[side+1].At - webs[side].At; apart > 1e-9 {
			share = (t.Throws[i].At - webs[side].At) / apart
		}
		u := complex(pinUnbalance(t, i, factors[i]), 0) * (t.Throws[i].Angle + num.Turn/2).Unit()
		us[side] += u * complex(1-share, 0)
		us[side+1] += u * complex(share, 0)
	}
	return PerWeb(t, us)
}

// pinUnbalance is what a balance factor k asks for opposite one pin [kg m].
func pinUnbalance(t *layout.Train, i int, k float64) float64 {
	th := &t.Throws[i]
	turning, sliding := 0.0, 0.0
	for _, c := range t.Cylinders {
		if c.Throw == i {
			turning += inertia.RotatingShare(c.Rod)
			sliding += c.Piston.Mass + inertia.ReciprocatingShare(c.Rod)
		}
	}
	return th.Unbalance + (turning+k*sliding)*th.Radius
}

// PerWeb returns counterweights of given unbalances.
//
//	u = U e^{ia}
//
// with
//   - t: any train
//   - u: for each of Webs the unbalance U [kg m] in the direction a from +z about +x at θ = 0
//
// Result: one unbalance for each web [kg m]. An error where their number is wrong or one is no number.
// Definition.
func PerWeb(t *layout.Train, u []complex128) ([]layout.Unbalance, error) {
	webs := Webs(t)
	if len(u) != len(webs) {
		return nil, fmt.Errorf("there are %d unbalances; the crank has %d webs, give one for each", len(u), len(webs))
	}
	var out []layout.Unbalance
	for j, w := range webs {
		if size := cmplx.Abs(u[j]); math.IsNaN(size) || math.IsInf(size, 0) || math.IsNaN(w.At) || math.IsInf(w.At, 0) {
			return nil, fmt.Errorf("the counterweight of throw %s is no number; masses, rod lengths, factors and unbalances must be finite", t.Throws[w.Throw].Name)
		}
		out = append(out, w.unbalance(u[j]))
	}
	return out, nil
}
