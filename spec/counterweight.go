package spec

import (
	"math"

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
			r.balanceThrow(i, c.BalanceFactor.SI)
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

// balanceThrow puts counterweights for a balance factor k opposite a throw: two of equal
// unbalance, one on each web, together
//
//	U = U_throw + Σ m_rod (1 − c/l) r + k Σ ( m_piston + m_rod c/l ) r
//
// the sums over the rods of the throw, c the centre of gravity from the big end: the two-mass
// replacement of the rod (common practice). A linked rod counts alike, its big-end share as if it
// turned on the crankpin.
func (r *resolver) balanceThrow(i int, k float64) {
	t := r.t
	th := &t.Throws[i]
	turning, sliding := 0.0, 0.0
	for _, c := range t.Cylinders {
		if c.Throw != i {
			continue
		}
		share := c.Rod.CG / c.Rod.Length
		turning += c.Rod.Mass * (1 - share)
		sliding += c.Piston.Mass + c.Rod.Mass*share
	}
	amount := th.Unbalance + turning*th.Radius + k*sliding*th.Radius
	opposite := (th.Angle + num.Turn/2).Wrap(num.Turn)
	away := 0.0
	if pin, web := t.Crank.Crankpin.Width, t.Crank.Web.Thickness; pin > 0 && web > 0 {
		away = pin/2 + web/2
	}
	if math.IsNaN(amount) {
		return
	}
	for _, side := range []float64{-1, 1} {
		t.Counterweights = append(t.Counterweights, layout.Unbalance{
			At: th.At + side*away, Angle: opposite, Amount: amount / 2, Throw: i + 1,
		})
	}
}
