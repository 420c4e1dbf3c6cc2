package spec

import (
	"fmt"
	"math"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
)

// customFill estimates the masses and rods that a custom file leaves out. Crank geometry stays
// unknown where the file does not give it. It returns false where something cannot be found.
func (r *resolver) customFill() bool {
	if len(r.list) > 0 { // indices and radii may be wrong
		return false
	}
	t := r.t
	rods := make([]int, len(t.Throws))
	for _, c := range t.Cylinders {
		rods[c.Throw]++
	}
	for i := range t.Throws {
		r.fillThrow(i, rods[i])
	}
	for pass := range 2 { // masters first: linked rods take their length from them
		for i := range t.Cylinders {
			if t.Cylinders[i].Rod.Linked == (pass == 1) {
				r.fillCylinder(i, rods[t.Cylinders[i].Throw])
			}
		}
	}
	return len(r.list) == 0 || r.opt.Strict
}

// use is a value that may have to be estimated: where it goes, its key in package estimate and in
// the file.
type use struct {
	value *float64
	from  *float64 // the same value in the estimate
	key   string   // in the list of estimates
	path  string   // in the file
}

// fillUses estimates what of the uses is unknown.
func (r *resolver) fillUses(k estimate.Engine, uses []use, filled *estimate.Engine) {
	open := false
	for _, u := range uses {
		open = open || math.IsNaN(*u.value)
	}
	if !open {
		return
	}
	if math.IsNaN(k.Bore) {
		for _, u := range uses {
			if math.IsNaN(*u.value) {
				r.missing(r.e.Locate(parentOf(u.path)), u.path[len(parentOf(u.path))+1:], "give it, or give the bore from which it can be estimated")
			}
		}
		return
	}
	var list []layout.Estimate
	*filled, list = estimate.Fill(k)
	for _, u := range uses {
		if !math.IsNaN(*u.value) {
			continue
		}
		*u.value = *u.from
		for _, est := range list {
			if est.Key == u.key {
				est.Key = u.path
				r.estimated(est)
			}
		}
	}
}

func (r *resolver) fillThrow(i, rods int) {
	th := &r.t.Throws[i]
	k := r.known()
	k.Cylinders, k.RodsPerPin, k.Stroke = len(r.t.Cylinders), max(1, rods), 2*th.Radius
	k.ThrowUnbalance = th.Unbalance
	for j := range r.t.Throws {
		if j != i && r.t.Throws[j].Pair == th.Pair {
			k.OwnPins, k.RodsPerPin = true, 2
			k.PinSplit = r.t.Throws[j].Angle - th.Angle
			k.BankStagger = math.Abs(r.t.Throws[j].At - th.At)
		}
	}
	var filled estimate.Engine
	r.fillUses(k, []use{
		{&th.Unbalance, &filled.ThrowUnbalance, "crank.throw_unbalance", fmt.Sprintf("layout.throws[%d].unbalance", i)},
	}, &filled)
}

func (r *resolver) fillCylinder(i, rods int) {
	t := r.t
	c := &t.Cylinders[i]
	path := fmt.Sprintf("layout.cylinders[%d]", i)
	if c.Rod.Linked && math.IsNaN(c.Rod.Length) {
		if m := c.Rod.Master; m >= 0 && m != i {
			c.Rod.Length = t.Cylinders[m].Rod.Length - c.Rod.KnuckleRadius
			r.estimated(layout.Estimate{
				Key: path + ".rod.length", Value: c.Rod.Length, Unit: "m", Shown: formatSI[Length](c.Rod.Length),
				Rule: "length of the master rod less the knuckle radius", Source: "PRACTICE",
			})
		}
	}
	k := r.known()
	k.Cylinders, k.RodsPerPin, k.Stroke = len(t.Cylinders), rods, 2*t.Throws[c.Throw].Radius
	k.PistonMass, k.RodLength, k.RodMass, k.RodCG, k.RodInertia = c.Piston.Mass, c.Rod.Length, c.Rod.Mass, c.Rod.CG, c.Rod.Inertia
	var filled estimate.Engine
	r.fillUses(k, []use{
		{&c.Piston.Mass, &filled.PistonMass, "piston.mass", path + ".piston.mass"},
		{&c.Rod.Length, &filled.RodLength, "rod.length", path + ".rod.length"},
		{&c.Rod.Mass, &filled.RodMass, "rod.mass", path + ".rod.mass"},
		{&c.Rod.CG, &filled.RodCG, "rod.cg_from_big_end", path + ".rod.cg_from_big_end"},
		{&c.Rod.Inertia, &filled.RodInertia, "rod.inertia", path + ".rod.inertia"},
	}, &filled)
}

// customFiring reads when the cylinders fire: an angle for each, or an order.
func (r *resolver) customFiring() {
	list := r.e.Layout.Cylinders.List
	have := 0
	for i := range list {
		if !list[i].FiresAt.missing() {
			have++
		}
	}
	switch {
	case have > 0 && !r.e.Layout.FiringOrder.missing():
		r.fail(r.e.Layout.FiringOrder.at, "give one of the two", "firing_order: it stands beside fires_at")
	case have > 0 && have < len(list):
		for i := range list {
			if list[i].FiresAt.missing() {
				r.missing(list[i].at, "fires_at", "give it for every cylinder or for none")
			}
		}
	default:
		r.t.FiringOrder = r.firingOrder()
	}
}

// customSpeeds estimates the speeds that a custom file leaves out, so that results have a speed
// to be shown at. Strict reading leaves them unknown: nothing but the speed of the figures needs them.
func (r *resolver) customSpeeds() {
	if r.opt.Strict || len(r.t.Throws) == 0 {
		return
	}
	k := r.known()
	if math.IsNaN(k.Bore) {
		return
	}
	k.Stroke = 0
	for _, th := range r.t.Throws {
		k.Stroke = math.Max(k.Stroke, 2*th.Radius)
	}
	k.Cylinders, k.RodsPerPin = len(r.t.Cylinders), 1
	idle, rated, limit := k.Idle, k.Rated, k.Limit
	var filled estimate.Engine
	r.fillUses(k, []use{
		{&idle, &filled.Idle, "speeds.idle", "speeds.idle"},
		{&rated, &filled.Rated, "speeds.rated", "speeds.rated"},
		{&limit, &filled.Limit, "speeds.limit", "speeds.limit"},
	}, &filled)
	r.t.Speeds = layout.Speeds{Idle: idle, Rated: rated, Limit: limit}
}
