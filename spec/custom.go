package spec

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// custom resolves the custom form.
func (r *resolver) custom() {
	l := &r.e.Layout
	if len(l.Throws) == 0 && r.e.keyPosition("layout.throws") == (Position{}) {
		r.missing(l.at, "throws", "give a list of {name, at, angle, radius, unbalance}")
	}
	switch {
	case l.Cylinders.missing():
		r.missing(l.at, "cylinders", "give a list of cylinders")
	case l.Cylinders.Given() && l.Cylinders.List == nil:
		r.fail(l.Cylinders.at, "a custom layout needs a list of cylinders", "cylinders: this is a number")
	case len(l.Cylinders.List) > layout.MaxCylinders:
		r.fail(l.Cylinders.at, fmt.Sprintf("%d are the most", layout.MaxCylinders), "cylinders: there are %d", len(l.Cylinders.List))
		return
	}
	r.customThrows()
	r.customCylinders()
	r.customRods()
	if !r.customFill() {
		return
	}
	r.reference()
	r.customFiring()
	r.exhaust()
	r.counterweights()
	r.customSpeeds()
}

func (r *resolver) customThrows() {
	l := &r.e.Layout
	for i := range l.Throws {
		th := &l.Throws[i]
		out := layout.Throw{
			Name: th.Name.Value, At: th.At.SI, Angle: num.Angle(th.Angle.SI),
			Radius: th.Radius.or(r.e.Stroke.SI / 2), Unbalance: th.Unbalance.or(r.e.Crank.ThrowUnbalance.known()), Pair: i,
		}
		if th.Given() {
			r.need(th.Name.Mark, th.at, "name", "give each throw a short name, such as T1")
			r.need(th.At.Mark, th.at, "at", "give its axial place, such as 0 mm")
			r.need(th.Angle.Mark, th.at, "angle", "give the direction of the pin, such as 0 deg")
			if th.Radius.missing() && r.e.Stroke.missing() {
				r.missing(th.at, "radius", "give the crank radius, such as 45 mm")
			}
		}
		r.t.Throws = append(r.t.Throws, out)
	}
	seen := map[string]bool{}
	for i := range l.Throws {
		th := &l.Throws[i]
		if th.Name.Given() && seen[th.Name.Value] {
			r.fail(th.Name.at, "names must differ", "name: there are two throws %q", th.Name.Value)
		}
		seen[th.Name.Value] = true
		if p := r.throwOf("pair", th.Pair); p >= 0 {
			r.t.Throws[i].Pair = p
		}
	}
	for i := range l.Throws {
		root := r.t.Throws[i].Pair
		if of := r.t.Throws[root].Pair; of != root {
			r.fail(l.Throws[i].Pair.at, fmt.Sprintf("pins split from one throw all name that one, which names none: %q", r.t.Throws[of].Name),
				"pair: the throw %q is itself split from another", r.t.Throws[root].Name)
			r.t.Throws[i].Pair = i
		}
	}
}

func (r *resolver) customCylinders() {
	list := r.e.Layout.Cylinders.List
	banks := make([]string, len(list))
	seen := map[string]bool{}
	for i := range list {
		c := &list[i]
		out := layout.Cylinder{
			Name: c.Name.Value, At: c.At.SI, Axis: num.Angle(c.Axis.SI), Offset: c.Offset.SI,
			FiresAt: num.Angle(c.FiresAt.SI), FiresGiven: c.FiresAt.Given(), Exhaust: c.Exhaust.Value,
		}
		if c.Given() {
			r.need(c.Name.Mark, c.at, "name", "give each cylinder a name, a number or a text")
			r.need(c.Axis.Mark, c.at, "axis", "give the angle of the cylinder axis, such as 0 deg")
			switch master := r.masterOf(c); {
			case c.Throw.missing() && master != nil && master != c && master.Throw.Given():
				out.Throw = r.throwOf("throw", master.Throw)
			case r.need(c.Throw.Mark, c.at, "throw", "give the name of the throw that carries the rod"):
				out.Throw = r.throwOf("throw", c.Throw)
			}
			if c.At.missing() && out.Throw >= 0 && out.Throw < len(r.t.Throws) {
				out.At = r.t.Throws[out.Throw].At
			}
		}
		if c.Name.Given() && seen[c.Name.Value] {
			r.fail(c.Name.at, "names must differ", "name: there are two cylinders %q", c.Name.Value)
		}
		seen[c.Name.Value] = true
		out.Piston = layout.Piston{
			Mass:              c.Piston.Mass.or(r.e.Piston.Mass.known()),
			PinOffset:         c.Piston.PinOffset.or(r.e.Piston.PinOffset.SI),
			CompressionHeight: c.Piston.CompressionHeight.or(r.e.Piston.CompressionHeight.SI),
		}
		banks[i] = c.Bank.Value
		r.t.Cylinders = append(r.t.Cylinders, out)
	}
	r.banks(banks)
	for i := range list {
		if b := r.t.Banks[r.t.Cylinders[i].Bank]; list[i].Bank.Given() &&
			math.Abs(math.Remainder(float64(b.Axis-r.t.Cylinders[i].Axis), float64(num.Turn))) > 1e-9 {
			r.fail(list[i].Bank.at, "cylinders of a bank have one axis angle", "bank: cylinder %s stands at another angle than the rest of bank %s", r.t.Cylinders[i].Name, b.Name)
		}
	}
}

// masterOf returns the cylinder whose rod carries that of c; nil: none, or none of that name.
func (r *resolver) masterOf(c *Cylinder) *Cylinder {
	name := c.Master
	if c.Rod.Master.Given() {
		name = c.Rod.Master
	}
	if !name.Given() {
		return nil
	}
	list := r.e.Layout.Cylinders.List
	for i := range list {
		if list[i].Name.Value == name.Value {
			return &list[i]
		}
	}
	return nil
}

// customRods reads the rods. The keys of a linked rod may stand in rod or beside it.
func (r *resolver) customRods() {
	list := r.e.Layout.Cylinders.List
	for i := range list {
		c, rod := &list[i], &r.t.Cylinders[i].Rod
		master, radius, angle := c.Rod.Master, c.Rod.KnuckleRadius, c.Rod.KnuckleAngle
		for _, both := range []struct {
			key           string
			inner, beside Mark
		}{
			{"master", master.Mark, c.Master.Mark},
			{"knuckle_radius", radius.Mark, c.KnuckleRadius.Mark},
			{"knuckle_angle", angle.Mark, c.KnuckleAngle.Mark},
		} {
			if !both.inner.missing() && !both.beside.missing() {
				r.fail(both.beside.at, "leave one of the two", "%s: it stands in rod too", both.key)
			}
		}
		if master.missing() {
			master = c.Master
		}
		if radius.missing() {
			radius = c.KnuckleRadius
		}
		if angle.missing() {
			angle = c.KnuckleAngle
		}
		rod.Length, rod.Mass = c.Rod.Length.or(r.e.Rod.Length.known()), c.Rod.Mass.or(r.e.Rod.Mass.known())
		rod.CG, rod.Inertia = c.Rod.CG.or(r.e.Rod.CG.known()), c.Rod.Inertia.or(r.e.Rod.Inertia.known())
		parent := c.at
		if c.Rod.Given() {
			parent = c.Rod.at
		}
		if master.missing() {
			if m := radius.Mark; !m.missing() {
				r.missing(parent, "master", "a rod with a knuckle radius names the cylinder with the master rod")
			} else if m := angle.Mark; !m.missing() {
				r.missing(parent, "master", "a rod with a knuckle angle names the cylinder with the master rod")
			}
			continue
		}
		rod.Linked = true
		r.need(radius.Mark, parent, "knuckle_radius", "give the distance of the knuckle pin from the master's big end, such as 30 mm")
		r.need(angle.Mark, parent, "knuckle_angle", "give the angle of the knuckle pin from the master rod, such as 72 deg")
		rod.KnuckleRadius, rod.KnuckleAngle = radius.SI, num.Angle(angle.SI)
		if master.Given() {
			rod.Master = r.cylinderIndex("master", master)
		}
		if c.Rod.Length.missing() && r.e.Rod.Length.Given() {
			rod.Length = r.e.Rod.Length.SI - radius.SI
		}
	}
}
