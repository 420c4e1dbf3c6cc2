package spec

import (
	"strings"

	"crankwright/mechanics/balance"
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
		// an error means that a mass is unknown, which has been reported
		r.t.Counterweights, _ = balance.OneFactor(r.t, c.BalanceFactor.SI)
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
	allowed := "the throws are " + oneOf(names)
	if strings.Join(names, "") == "" {
		allowed = "give throws, and one of them this name"
	}
	r.fail(name.at, allowed, "%s: there is no throw %q", key, name.Value)
	return -1
}
