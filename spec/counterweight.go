package spec

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// counterweights puts the masses of the file on the crank.
func (r *resolver) counterweights() {
	c := &r.e.Crank.Counterweights
	switch {
	case !c.Given():
	case c.List != nil:
		for i := range c.List {
			m := &c.List[i]
			if !m.Given() {
				continue
			}
			r.massKeys(m.at, m.At.Mark, m.Angle.Mark, m.Unbalance.Mark)
			r.t.Counterweights = append(r.t.Counterweights, layout.Unbalance{
				At: m.At.SI, Angle: num.Angle(m.Angle.SI), Amount: m.Unbalance.SI, Throw: 1 + r.throwOf("throw", m.Throw),
			})
		}
	case !c.None:
		for i := range r.t.Throws {
			if r.t.Throws[i].Pair == i || r.t.Throws[i].Pair >= len(r.t.Throws) {
				r.balancePair(i, c.BalanceFactor.SI)
			}
		}
	}
}

// throwOf returns the index of a throw by its name, −1 where none is named.
func (r *resolver) throwOf(key string, name Text) int {
	if !name.Given() {
		return -1
	}
	for i, th := range r.t.Throws {
		if th.Name == name.Value {
			return i
		}
	}
	names := make([]string, len(r.t.Throws))
	for i, th := range r.t.Throws {
		names[i] = th.Name
	}
	r.fail(name.at, "the throws are "+oneOf(names), "%s: there is no throw %q", key, name.Value)
	return -1
}

// balancePair puts counterweights for a balance factor k opposite the pins of one throw: one mass on
// each outer web, together of the unbalance
//
//	U = Σ over the pins of  U_throw + Σ m_rod (1 − c/l) r + k Σ ( m_piston + m_rod c/l ) r
//
// the inner sums over the rods of a pin, c the centre of gravity from the big end: the two-mass
// replacement of the rod (common practice). A linked rod counts alike, its big-end share as if it
// turned on the crankpin. Pins split from one throw share the two outer webs, each pin's mass spread
// over them as on a beam, so that force and moment are as if each pin had its own.
func (r *resolver) balancePair(first int, k float64) {
	t := r.t
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range t.Throws {
		if t.Throws[i].Pair == first || i == first {
			lo, hi = math.Min(lo, t.Throws[i].At), math.Max(hi, t.Throws[i].At)
		}
	}
	away := 0.0
	if pin, web := t.Crank.Crankpin.Width, t.Crank.Web.Thickness; pin > 0 && web > 0 {
		away = pin/2 + web/2
	}
	webs := [2]float64{lo - away, hi + away}
	var sum [2]complex128 // unbalance on the two webs, as directions from +z about +x
	last := first
	for i := range t.Throws {
		if t.Throws[i].Pair != first && i != first {
			continue
		}
		share := 0.5
		if webs[1]-webs[0] > 1e-9 {
			share = (t.Throws[i].At - webs[0]) / (webs[1] - webs[0])
		}
		u := complex(r.pinUnbalance(i, k), 0) * (t.Throws[i].Angle + num.Turn/2).Unit()
		sum[0] += u * complex(1-share, 0)
		sum[1] += u * complex(share, 0)
		last = i
	}
	for side, at := range webs {
		amount := cmplx.Abs(sum[side])
		if math.IsNaN(amount) {
			return
		}
		angle := num.Angle(cmplx.Phase(sum[side])).Wrap(num.Turn)
		if degrees := math.Round(angle.Deg()*1e9) / 1e9; math.Abs(degrees-angle.Deg()) < 1e-9 {
			angle = num.Degrees(degrees)
		}
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: at, Angle: angle, Amount: amount, Throw: 1 + [2]int{first, last}[side]})
	}
}

// pinUnbalance is what a balance factor k asks for opposite one pin [kg m].
func (r *resolver) pinUnbalance(i int, k float64) float64 {
	th := &r.t.Throws[i]
	turning, sliding := 0.0, 0.0
	for _, c := range r.t.Cylinders {
		if c.Throw != i {
			continue
		}
		share := c.Rod.CG / c.Rod.Length
		turning += c.Rod.Mass * (1 - share)
		sliding += c.Piston.Mass + c.Rod.Mass*share
	}
	return th.Unbalance + (turning+k*sliding)*th.Radius
}
